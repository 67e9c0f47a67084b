"""The form of a contact: whom to call, under which law, with a number that a phone can dial."""

import re
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from law.pack import load_packs
from law.retold import retold
from people.models import Contact
from web.forms import BaseModelForm

NUMBER = re.compile(r"\+?\(?\d[\d ().\-]*\d")
JOINING = re.compile(r"\b(or|and|then|ext|extension|option)\b|[,;/.]", re.IGNORECASE)


class ContactForm(BaseModelForm):
    """Asks for a phone or an e-mail address: a contact without either cannot be called."""

    class Meta:
        model = Contact
        fields = ["kind", "jurisdiction", "name", "phone", "email", "hours"]
        widgets = {"phone": forms.TextInput(attrs={"type": "tel"})}
        help_texts = {
            "kind": _lazy(
                "Bomb disposal is called by the police. In Scotland the police tell the procurator fiscal."
            ),
            "phone": _lazy("As it is dialled from the field; several with “or” between: 999 or 101."),
            "hours": _lazy("For example: office hours, then the answering machine."),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        kept = self.instance.jurisdiction if self.instance.pk else ""
        choices = [(code, retold(pack.title)) for code, pack in load_packs().items()]
        if kept and kept not in dict(choices):
            choices.append((kept, kept))
        self.fields["jurisdiction"] = forms.ChoiceField(
            label=self.fields["jurisdiction"].label,
            choices=choices,
            initial=self.initial.get("jurisdiction") or "england",
        )

    def clean_phone(self) -> str:
        phone: str = " ".join(self.cleaned_data["phone"].split())
        if not phone:
            return ""
        rest = JOINING.sub("", NUMBER.sub("", phone)).strip()
        if not NUMBER.search(phone) or rest:
            raise forms.ValidationError(
                _(
                    "“%(phone)s” is no number that a phone can dial; give figures, such as 101 or 01632 "
                    "960101, and write what else there is to say under “When to call”."
                )
                % {"phone": phone}
            )
        return phone

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        bad = {"phone", "email"} & self.errors.keys()
        if not bad and not values.get("phone") and not values.get("email"):
            self.add_error(
                "phone", _("Give a phone number or an e-mail address; without either nobody can be called.")
            )
        return values
