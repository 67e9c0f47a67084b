"""The forms of a club that begins: who is first, what the club is, whom it calls, who comes next."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _lazy

from people.account_forms import JudgedWhereTyped
from people.contact_form import ContactForm
from people.forms import NewPersonForm
from people.laws import places
from people.models import Club, Contact, User
from people.set_up_law import first_kinds
from web.forms import BaseModelForm


class FirstPersonForm(JudgedWhereTyped):
    """The club's name, and the account of whoever begins it; the password is judged beside their name and address."""

    club = forms.CharField(
        label=_lazy("Name of the club"),
        max_length=120,
        help_text=_lazy("As it stands on letters and reports. It can be changed."),
    )
    name = forms.CharField(
        label=_lazy("Your name"), max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"})
    )
    email = forms.EmailField(
        label=_lazy("Your e-mail address"),
        max_length=254,
        help_text=_lazy("You sign in with it, and the club's letters to you go there."),
        widget=forms.EmailInput(attrs={"autocomplete": "username"}),
    )
    field_order = ("club", "name", "email", "new_password1", "new_password2")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(User(), *args, **kwargs)
        self.label_suffix = ""
        self.fields["new_password1"].label = _lazy("A password")
        self.fields["new_password2"].label = _lazy("The same password again")

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"]
        self.user.name = name
        return name

    def clean_email(self) -> str:
        email: str = self.cleaned_data["email"].lower()
        self.user.email = email
        return email

    def save(self, commit: bool = True) -> Any:
        raise NotImplementedError("Only actions write: pass cleaned_data to one.")


class FirstClubForm(BaseModelForm):
    jurisdiction = forms.ChoiceField(
        label=_lazy("Law that applies"),
        choices=places,
        help_text=_lazy("Of most of your fields. A field elsewhere gets its own law on its own page."),
    )

    class Meta:
        model = Club
        fields = ["name", "address", "jurisdiction", "units", "currency", "emergency_department"]
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "address": _lazy("Stands on agreements and reports, so that a landholder can write back."),
            "emergency_department": _lazy(
                "Name and place, for emergency cards. Each field adds its own way in."
            ),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["address"].required = True


class FirstContactForm(ContactForm):
    """One kind of contact; left as it is, it asks for nothing and adds nothing. `how`: what the law pack says of it."""

    how = ""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, empty_permitted=True, use_required_attribute=False, **kwargs)
        for name in ("kind", "jurisdiction"):
            self.fields[name].widget = forms.HiddenInput()

    @property
    def title(self) -> str:
        return str(Contact.Kind(self.initial["kind"]).label)


def contact_forms(law: str, data: Any = None) -> list[FirstContactForm]:
    """A form for each kind of contact that the club should enter first under this law and has not yet."""
    known = set(Contact.objects.filter(jurisdiction=law).values_list("kind", flat=True))
    forms_ = []
    for number, first in enumerate(first_kinds(law)):
        initial = {"kind": first.kind, "jurisdiction": law, "name": first.name}
        form = FirstContactForm(data, prefix=f"c{number}", initial=initial)
        form.how = first.how
        if first.kind not in known:
            forms_.append(form)
    return forms_


class InviteForm(NewPersonForm):
    """The same invitation with fewer questions: each person fills in the rest."""

    class Meta(NewPersonForm.Meta):
        fields = ["name", "email"]
