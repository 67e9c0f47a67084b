"""The file with boundaries or protected places, the coordinate system it is in, and what its shapes become."""

from collections.abc import Iterator
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from geo.errors import GeoError
from geo.files.crs import answered
from people.models import User
from permissions.actions import NewLine, NewSite
from permissions.forms.fields import jurisdictions
from permissions.import_file import shape_key
from permissions.models import ImportDraft, Site
from web.forms import BaseForm, OnceForm

FORMATS = ".geojson,.json,.kml,.kmz,.gpx,.zip,.shz,.wkt,.txt"
SYSTEMS = [
    ("", _lazy("The file says it, or ask me")),
    ("EPSG:4326", _lazy("WGS84 longitude and latitude")),
    ("EPSG:27700", _lazy("British National Grid")),
    ("EPSG:29903", _lazy("Irish Grid")),
    ("EPSG:2157", _lazy("Irish Transverse Mercator")),
]


class FileForm(OnceForm):
    """A file, and its coordinate system where the sender knows better than the file."""

    file = forms.FileField(
        label=_lazy("File"),
        widget=forms.ClearableFileInput(attrs={"accept": FORMATS}),
        help_text=_lazy(
            "GeoJSON, KML, KMZ, GPX (a walk round the edge), a zipped shapefile or WKT, up to 20 MB."
        ),
        error_messages={"empty": _lazy("The file is empty; export it again.")},
    )
    crs = forms.ChoiceField(label=_lazy("Coordinate system"), choices=SYSTEMS, required=False)


class SystemForm(BaseForm):
    """Which coordinate system the numbers are in. `choices` are the likely answers, each with its place."""

    crs = forms.ChoiceField(label=_lazy("Which is it?"), widget=forms.RadioSelect, required=False)
    other = forms.CharField(
        label=_lazy("Or another system"),
        required=False,
        max_length=60,
        help_text=_lazy("Its EPSG code or a UTM zone, such as EPSG:25832 or UTM 31N."),
    )

    def __init__(self, *args: Any, choices: list[dict[str, Any]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        told = [
            (
                c["code"],
                _("%(c)s: near %(value)s, %(c2)s")
                % {"c": c["label"], "value": f"{c['lat']:.4f}", "c2": f"{c['lon']:.4f}"},
            )
            for c in choices
        ]
        self.fields["crs"].choices = told  # type: ignore[attr-defined]
        if not told:
            del self.fields["crs"]

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        other = self.cleaned_data.get("other", "").strip()
        if other:
            try:
                answered(other)
            except GeoError as error:
                self.add_error("other", str(error))
        elif not self.cleaned_data.get("crs") and not self.errors:
            self.add_error(
                None, _("Choose the system that puts the shapes where they belong, or name another.")
            )
        return values

    @property
    def answer(self) -> str:
        """The system as it was answered; what was typed goes before what was chosen."""
        said: str = self.cleaned_data["other"].strip() or self.cleaned_data["crs"]
        return said


class WholeFileForm(BaseForm):
    """What holds for every new site of a file."""

    holding = forms.CharField(
        label=_lazy("Farm or estate"),
        required=False,
        max_length=120,
        help_text=_lazy("For every new site that names none."),
    )
    jurisdiction = forms.ChoiceField(label=_lazy("Law that applies"), choices=jurisdictions)


class ShapeForm(BaseForm):
    """What one shape becomes. `number` counts from 0; a shape with an error can only be left out."""

    what = forms.ChoiceField(
        label=_lazy("What to do"),
        choices=[
            ("new", _lazy("New site")),
            ("redraw", _lazy("New boundary of a site")),
            ("skip", _lazy("Leave out")),
        ],
    )
    code = forms.CharField(label=_lazy("Site code"), required=False, max_length=12)
    name = forms.CharField(label=_lazy("Field name"), required=False, max_length=120)
    holding = forms.CharField(label=_lazy("Farm or estate"), required=False, max_length=120)

    def __init__(self, *args: Any, number: int, **kwargs: Any) -> None:
        super().__init__(*args, prefix=f"s{number}", **kwargs)
        self.number = number
        for name in ("code", "name", "holding"):
            self.fields[name].label = _("%(label)s of shape %(value)s") % {
                "label": self.fields[name].label,
                "value": number + 1,
            }
        self.fields["what"].label = _("What to do with shape %(value)s") % {"value": number + 1}

    def clean_code(self) -> str:
        return str(self.cleaned_data["code"]).strip().upper()

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        what, code = self.cleaned_data.get("what"), self.cleaned_data.get("code")
        if what == "new" and not self.cleaned_data.get("name", "").strip():
            self.add_error("name", _("Give the field's name, or leave the shape out."))
        if what in {"new", "redraw"} and not code and "code" not in self.errors:
            new = _("Give the new site a short code, such as SF04.")
            self.add_error("code", new if what == "new" else _("Give the code of the site to redraw."))
        return values


class ImportForm:
    """All of a file: what holds for the whole of it, and one row a shape."""

    def __init__(
        self, data: Any, *, draft: ImportDraft, user: User, initial: dict[int, dict[str, str]], **whole: Any
    ) -> None:
        self.draft, self.user = draft, user
        self.whole = WholeFileForm(data, initial=whole)
        self.rows = {
            number: ShapeForm(data, number=number, initial=initial.get(number))
            for number, shape in enumerate(draft.shapes)
            if "error" not in shape
        }
        self.sites: dict[str, Site] = {}
        self.problem = ""

    def is_valid(self) -> bool:
        """Each row by itself, then all against the sites there are and against each other. One query."""
        rows_valid = [row.is_valid() for row in self.rows.values()]
        if not (self.whole.is_valid() and all(rows_valid)):
            return False
        chosen = [row for row in self.rows.values() if row.cleaned_data["what"] != "skip"]
        if not chosen:
            self.problem = _("Every shape is left out; choose at least one, or throw the file away.")
            return False
        visible = Site.objects.visible_to(self.user).defer("boundary")
        self.sites = {site.code.upper(): site for site in visible}
        taken: dict[str, int] = {}
        for row in chosen:
            self._check(row, taken)
            taken.setdefault(row.cleaned_data.get("code", ""), row.number + 1)
        return not any(row.errors for row in chosen)

    def _check(self, row: ShapeForm, taken: dict[str, int]) -> None:
        code, new = row.cleaned_data["code"], row.cleaned_data["what"] == "new"
        site = self.sites.get(code)
        if code in taken:
            row.add_error(
                "code",
                _("“%(code)s” is the code of shape %(taken)s already; give another.")
                % {"code": code, "taken": taken[code]},
            )
        elif new and site is not None and site.client_id != shape_key(self.draft.client_id, row.number):
            row.add_error(
                "code",
                _(
                    "“%(code)s” is the code of %(site_name)s already; give another, or choose to redraw "
                    "that site."
                )
                % {"code": code, "site_name": site.name},
            )
        elif not new and site is None:
            row.add_error(
                "code",
                _("No site has the code “%(code)s”; give one that is there, or make it new.")
                % {"code": code},
            )
        elif not new and site is not None and site.retired_on is not None:
            row.add_error(
                "code", _("%(site)s is no longer used; give another site, or make it new.") % {"site": site}
            )

    def errors(self) -> Iterator[tuple[str, str]]:
        """(id of the field, sentence) for every error, for the summary."""
        if self.problem:
            yield "", self.problem
        for form in (self.whole, *self.rows.values()):
            for name, errors in form.errors.items():
                field = "" if name == "__all__" else form[name].id_for_label
                yield from ((field, str(error)) for error in errors)

    def choices(self) -> list[NewSite | NewLine]:
        """What was chosen, once it is valid."""
        whole = self.whole.cleaned_data
        found: list[NewSite | NewLine] = []
        for number, row in self.rows.items():
            said = row.cleaned_data
            if said["what"] == "new":
                holding = said["holding"].strip() or whole["holding"]
                found.append(
                    NewSite(number, said["code"], said["name"].strip(), holding, whole["jurisdiction"])
                )
            elif said["what"] == "redraw":
                found.append(NewLine(number, self.sites[said["code"]].pk))
        return found
