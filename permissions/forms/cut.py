"""Where a site is cut, which sites are merged, and what the new sites are called."""

import json
from collections.abc import Sequence
from hashlib import sha256
from typing import Any
from uuid import UUID, uuid5

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from geo.cut import Split, merge, split
from geo.errors import GeoError
from people.models import User
from permissions.actions import Part
from permissions.boundary_text import read_line
from permissions.models import Site
from tongue import all_of
from web.forms import BaseForm, OnceForm

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


class _LookedAtForm(OnceForm):
    """A form that is looked at before it is saved: `seen` is the mark of the ground that was shown."""

    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    @property
    def first_key(self) -> UUID | None:
        """The key of the first site that this form makes."""
        try:
            given = self.fields["client_id"].clean(self.data.get("client_id"))
        except forms.ValidationError:
            return None
        return uuid5(given, "0") if given else None

    def was_seen(self, mark: str) -> bool:
        """Is this the ground that was shown? If not, the mark is put into the form for the next sending."""
        if self.cleaned_data.get("seen") == mark:
            return True
        self.data = dict(self.data.items()) | {self.add_prefix("seen"): mark}
        return False


def mark_of(geometries: Sequence[Any]) -> str:
    return sha256(json.dumps(list(geometries)).encode()).hexdigest()[:32]


class SplitForm(_LookedAtForm):
    """The line along which a site is cut. `cut` holds the parts once it is valid."""

    line_text = forms.CharField(
        label=_lazy("Line to cut along"),
        widget=forms.Textarea(attrs={"rows": 5, "autocomplete": "off", "spellcheck": "false"}),
        help_text=_lazy(
            "Draw it on the map from edge to edge; or give its points in order, one grid reference or latitude "
            "and longitude on each line; or paste GeoJSON."
        ),
        error_messages={"required": _lazy("Draw the line, or give its points, one on each line.")},
    )
    field_order = ["line_text"]
    cut: Split | None = None

    def __init__(self, *args: Any, site: Site, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.site = site

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        if text := self.cleaned_data.get("line_text"):
            try:
                self.cut = split(self.site.boundary, read_line(text, country=self.site.country))
            except GeoError as error:
                self.add_error("line_text", str(error))
            else:
                if len(self.cut.parts) > len(LETTERS):
                    number = len(self.cut.parts)
                    self.add_error(
                        "line_text",
                        _("The line makes %(number)s parts; draw one that makes fewer.") % {"number": number},
                    )
        return values


class MergeForm(_LookedAtForm):
    """The neighbours that become one with a site. `merged` holds their ground once it is valid."""

    others = forms.MultipleChoiceField(
        label=_lazy("Merge with"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _lazy("Choose at least one neighbour.")},
    )
    merged: Any = None

    def __init__(self, *args: Any, site: Site, neighbours: Sequence[Site], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.site, self.neighbours = site, {str(n.pk): n for n in neighbours}
        self.fields["others"].choices = [(key, str(n)) for key, n in self.neighbours.items()]  # type: ignore[attr-defined]

    @property
    def chosen(self) -> list[Site]:
        """The site itself and the neighbours that were chosen."""
        return [self.site, *(self.neighbours[key] for key in self.cleaned_data.get("others", []))]

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        if self.cleaned_data.get("others"):
            try:
                self.merged = merge(site.boundary for site in self.chosen)
            except GeoError as error:
                self.add_error("others", str(error))
        return values


class PartForm(BaseForm):
    """Code and name of one new site. `taken` are the codes in use, but for what the same form made already."""

    code = forms.CharField(label=_lazy("Site code"), max_length=12)
    name = forms.CharField(label=_lazy("Field name"), max_length=120)

    def __init__(self, *args: Any, number: int, label: str, taken: frozenset[str], **kwargs: Any) -> None:
        super().__init__(*args, prefix=f"p{number}", **kwargs)
        self.number, self.taken = number, taken
        for name in ("code", "name"):
            self.fields[name].label = f"{self.fields[name].label}{label}"

    def clean_code(self) -> str:
        code: str = self.cleaned_data["code"].strip().upper()
        if code in self.taken:
            raise forms.ValidationError(
                _("“%(code)s” is the code of another site already; give another.") % {"code": code}
            )
        return code


class PartForms:
    """The new sites of a split or a merge, each with its form; suggestions keep the old code recognisable."""

    def __init__(
        self, data: Any, *, boundaries: Sequence[Any], names: Sequence[tuple[str, str]], user: User, key: Any
    ) -> None:
        self.boundaries = boundaries
        self.keys = [uuid5(key, str(number)) for number in range(len(boundaries))]
        rows = Site.objects.visible_to(user).exclude(client_id__in=self.keys)
        taken = frozenset(code.upper() for code in rows.values_list("code", flat=True))
        self.forms = [
            PartForm(
                data,
                number=number,
                label=_(" of part %(value)s") % {"value": number + 1} if len(boundaries) > 1 else "",
                taken=taken,
                initial={"code": code, "name": name},
            )
            for number, (code, name) in enumerate(names)
        ]

    def is_valid(self) -> bool:
        valid = [form.is_valid() for form in self.forms]
        if not all(valid):
            return False
        seen: dict[str, int] = {}
        for form in self.forms:
            code = form.cleaned_data["code"]
            if code in seen:
                form.add_error(
                    "code",
                    _("“%(code)s” is the code of part %(seen)s already; give another.")
                    % {"code": code, "seen": seen[code]},
                )
            seen.setdefault(code, form.number + 1)
        return not any(form.errors for form in self.forms)

    def errors(self) -> list[tuple[str, str]]:
        """(id of the field, sentence) for every error, for the summary."""
        return [
            (form[name].id_for_label, str(error))
            for form in self.forms
            for name, errors in form.errors.items()
            for error in errors
        ]

    def parts(self) -> list[Part]:
        """The new sites, once they are valid."""
        rows = zip(self.forms, self.boundaries, self.keys, strict=True)
        return [
            Part(boundary, key, form.cleaned_data["code"], form.cleaned_data["name"].strip())
            for form, boundary, key in rows
        ]


def split_names(site: Site, number: int) -> list[tuple[str, str]]:
    """Code and name suggested for each part: the old ones with a letter."""
    return [(f"{site.code[:11]}{letter}", f"{site.name[:118]} {letter}") for letter in LETTERS[:number]]


def merge_names(sites: Sequence[Site]) -> list[tuple[str, str]]:
    """Code and name suggested for the merged site."""
    return [(f"{sites[0].code[:11]}M", all_of(site.name for site in sites)[:120])]
