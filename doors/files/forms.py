"""What to take as a file, of what, and in which format."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from doors.files.formats import FORMATS
from doors.files.offered import OF_HUNT, OF_SITE, OFFERED
from hunts.models import Hunt
from people.models import User
from permissions.models import Site
from web.forms import BaseForm, OnceForm


class OpenFileForm(BaseForm):
    """`equals` and `about` say in the end which rows are asked for, in names that the collection knows."""

    what = forms.ChoiceField(
        label=_lazy("What"), choices=[(code, each.title) for code, each in OFFERED.items()]
    )
    form = forms.ChoiceField(
        label=_lazy("Format"), choices=[(code, each.title) for code, each in FORMATS.items()]
    )
    hunt = forms.CharField(label=_lazy("Only of the hunt with the code"), required=False, max_length=20)
    site = forms.CharField(label=_lazy("Only of the site with the code"), required=False, max_length=12)

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._user = user
        self.equals: dict[str, str] = {}
        self.about = ""

    def clean_hunt(self) -> str:
        code: str = self.cleaned_data["hunt"].strip()
        found = Hunt.objects.visible_to(self._user).filter(code__iexact=code).first() if code else None
        if code and found is None:
            raise forms.ValidationError(
                _("There is no hunt %(code)s that you may see; give a code as it stands on the hunt's page.")
                % {"code": code}
            )
        return found.code if found else ""

    def clean_site(self) -> str:
        code: str = self.cleaned_data["site"].strip()
        found = Site.objects.visible_to(self._user).filter(code__iexact=code).first() if code else None
        if code and found is None:
            raise forms.ValidationError(
                _("There is no site %(code)s that you may see; give a code as it stands on the site's page.")
                % {"code": code}
            )
        return found.code if found else ""

    def clean(self) -> dict[str, Any]:
        values: dict[str, Any] = super().clean() or self.cleaned_data
        for name, known in (("hunt", OF_HUNT), ("site", OF_SITE)):
            code, what = values.get(name), values.get("what", "")
            if not code or what not in OFFERED:
                continue
            if what not in known:
                self.add_error(name, _not_kept_by(name, str(OFFERED[what].title), code))
                continue
            self.equals[known[what]] = code
            self.about = f"{self.about}, {code}" if self.about else code
        return values


def _not_kept_by(name: str, title: str, code: str) -> str:
    if name == "hunt":
        words = _("%(title)s are not kept by hunt; leave out “%(code)s”, or choose finds, holes or tracks.")
    else:
        words = _("%(title)s are not kept by site; leave out “%(code)s”, or choose finds or holes.")
    return words % {"title": title, "code": code}


class CalendarForm(OnceForm):
    """A private address for one calendar program."""

    label = forms.CharField(
        label=_lazy("Where will it be read?"),
        help_text=_lazy("Such as: my phone. So that you know which address to end one day."),
        max_length=60,
    )
    days = forms.TypedChoiceField(
        label=_lazy("Open for"),
        coerce=int,
        choices=[(30, _lazy("30 days")), (180, _lazy("half a year")), (365, _lazy("a year"))],
        initial=365,
    )
