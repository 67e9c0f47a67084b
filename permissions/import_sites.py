"""What the rows of a table of sites would become: new sites with or without a boundary, and what sites here gain."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from functools import cached_property
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from geo.areas import Country
from geo.errors import GeoError
from geo.measure import ACRE_M2
from geo.polygon import CheckedBoundary
from geo.position import parse_position
from people.laws import places
from people.models import User
from permissions.import_boundary import boundary_in
from permissions.import_codes import code_for
from permissions.import_fields import SITE_FIELDS
from permissions.models import Landholder, Site
from permissions.models.site import COUNTRIES, Capacity, Tenure
from tongue import figure
from web.tables.errors import CellError
from web.tables.match import Matched
from web.tables.plan import Coming, Plan, Reading
from web.tables.values import read_choice, read_number

COPIED = ("name", "holding", "parish", "land_use", "access", "postcode", "hazards")
_LINES = {"access", "hazards"}
_TOLERANCE = 0.25  # of a typed area: what a headland, a rounded figure or acres for hectares differ by


@dataclass
class _Here:
    by: User

    @cached_property
    def sites(self) -> dict[str, Site]:
        rows = Site.objects.visible_to(self.by).defer("boundary").prefetch_related("parties")
        return {site.code.casefold(): site for site in rows}

    @cached_property
    def landholders(self) -> dict[str, list[Landholder]]:
        found: dict[str, list[Landholder]] = {}
        for row in Landholder.objects.visible_to(self.by).filter(erased_on=None).only("name"):
            found.setdefault(" ".join(row.name.casefold().split()), []).append(row)
        return found

    @cached_property
    def places(self) -> dict[str, str]:
        listed = places()
        return {code: code for code, _title in listed} | {title: code for code, title in listed}


def plan_sites(matched: Matched, answers: Mapping[str, Any], *, by: User, at: datetime) -> Plan:
    """Judge every row for `by`. A few queries, however many rows."""
    plan = Plan(problems=list(matched.problems))
    here = _Here(by)
    lines: dict[str, int] = {}
    taken = {row.cells.get("code", "").strip().casefold() for row in matched.rows} | here.sites.keys()
    for row in matched.rows:
        reading = Reading(row.line, dict(row.cells), dict(matched.headers))
        code_for(reading, here.sites, taken, lines)
        coming = _coming(reading, answers, here, lines)
        plan.problems += reading.problems
        if not reading.problems:
            plan.add(coming)
    plan.problems.sort(key=lambda problem: problem.line)
    bare = sum("boundary" not in row.values for row in plan.new)
    if bare:
        plan.notes.append(
            ngettext(
                "%(count)s of the new sites has no boundary yet; draw it before a hunt is planned there.",
                "%(count)s of the new sites have no boundary yet; draw them before a hunt is planned there.",
                bare,
            )
            % {"count": bare}
        )
    return plan


def _coming(reading: Reading, answers: Mapping[str, Any], here: _Here, lines: dict[str, int]) -> Coming:
    code = _code(reading, lines)
    there = here.sites.get(code.casefold())
    place = _place(reading, answers, here)
    country = there.country if there else COUNTRIES.get(place, Country.OTHER)
    values: dict[str, Any] = {
        key: reading.cells.get(key, "").strip() if key in _LINES else reading.text(key) for key in COPIED
    }
    if not values["name"] and there is None:
        reading.wrong("name", _("There is no name; every site needs one."))
    values |= {"code": code, "jurisdiction": place}
    coming = Coming(reading.line, f"{code} {values['name']}".strip(), values=values, there=there)
    _check(reading, values)
    boundary = _boundary(reading, country, answers)
    _gate(reading, values, country)
    _area(reading, boundary, coming)
    if boundary is not None and (there is None or there.min_lat is None):
        values["boundary"] = boundary
        coming.warnings += list(boundary.notes)
    _landholders(reading, coming, here)
    if there is None and reading.text("tenant"):
        same = reading.text("tenant").casefold() == reading.text("owner").casefold()
        values["tenure"] = Tenure.OWNER_OCCUPIED if same else Tenure.LET
    _tell(coming)
    return coming


def _code(reading: Reading, lines: dict[str, int]) -> str:
    code = reading.text("code").upper()
    if not code:
        reading.wrong("code", _("There is no code; every site needs one of its own."))
        return ""
    first = lines.setdefault(code.casefold(), reading.line)
    if first != reading.line:
        reading.wrong(
            "code", _("Line %(line)s has this code too; every site needs one of its own.") % {"line": first}
        )
    return code


def _place(reading: Reading, answers: Mapping[str, Any], here: _Here) -> str:
    text = reading.text("jurisdiction")
    if not text:
        return str(answers["jurisdiction"])
    try:
        return read_choice(text, here.places)
    except CellError as error:
        reading.wrong("jurisdiction", str(error))
        return ""


def _check(reading: Reading, values: Mapping[str, Any]) -> None:
    for key in ("code", *COPIED):
        most = Site._meta.get_field(key).max_length  # type: ignore[union-attr]
        if most and len(values[key]) > most:
            reading.wrong(key, _("This is longer than %(most)s letters; shorten it.") % {"most": most})


def _boundary(reading: Reading, country: Country, answers: Mapping[str, Any]) -> CheckedBoundary | None:
    text = reading.cells.get("boundary", "").strip()
    try:
        return boundary_in(text, country, system=str(answers.get("wkt_system", "")))
    except (GeoError, CellError) as error:
        reading.wrong("boundary", str(error))
        return None


def _gate(reading: Reading, values: dict[str, Any], country: Country) -> None:
    text = reading.text("gate")
    if not text:
        return
    try:
        gate = parse_position(text, country=country)
    except GeoError as error:
        reading.wrong("gate", str(error))
    else:
        values |= {"gate_lon": gate.lon, "gate_lat": gate.lat}


def _area(reading: Reading, boundary: CheckedBoundary | None, coming: Coming) -> None:
    key, unit = ("area_ha", "ha") if reading.text("area_ha") else ("area_acres", "")
    text = reading.text(key)
    if not text:
        return
    try:
        typed: Decimal = read_number(text, unit=unit)
    except CellError as error:
        reading.wrong(key, str(error))
        return
    if key == "area_acres":
        typed = (typed * Decimal(ACRE_M2) / 10_000).quantize(Decimal("0.1"))
    measured = boundary.area_m2 / 10_000 if boundary else None
    if measured is not None and abs(float(typed) - measured) > _TOLERANCE * max(float(typed), measured):
        coming.warnings.append(
            _("The file says %(typed)s ha and the boundary measures %(measured)s ha; the boundary counts.")
            % {"typed": typed, "measured": figure(f"{measured:.1f}")}
        )


def _landholders(reading: Reading, coming: Coming, here: _Here) -> None:
    """Owner and tenant by name, where they have no such say yet."""
    had = {(p.landholder_id, p.capacity) for p in coming.there.parties.all()} if coming.there else set()
    parties: list[tuple[Landholder, str]] = []
    for key, capacity in (("owner", Capacity.OWNER), ("tenant", Capacity.OCCUPIER)):
        name = reading.text(key)
        if not name:
            continue
        found = here.landholders.get(name.casefold(), [])
        if len(found) != 1:
            words = (
                _("No landholder is called “%(name)s”; import the landholders first, or empty the cell.")
                if not found
                else _(
                    "Several landholders are called “%(name)s”; empty the cell and choose on the page of the site."
                )
            )
            reading.wrong(key, words % {"name": name})
        elif (found[0].pk, capacity.value) not in had:
            parties.append((found[0], capacity.value))
    coming.values["parties"] = parties


def _tell(coming: Coming) -> None:
    """What the preview shows of the row: where it is new in full, where it is here what it gains and what differs."""
    values, there = coming.values, coming.there
    said = [f"{Capacity(capacity).label}: {landholder.name}" for landholder, capacity in values["parties"]]
    if "boundary" in values:
        said.insert(0, _("%(ha)s ha") % {"ha": figure(f"{values['boundary'].area_m2 / 10_000:.1f}")})
    if there is None:
        coming.says = [values["holding"], values["parish"], *said] if "boundary" in values else [
            values["holding"], values["parish"], _("no boundary yet"), *said]  # fmt: skip
        coming.says = [text for text in coming.says if text]
        return
    coming.title = str(there)
    coming.adds = said
    coming.differs = [
        _label(k) for k in COPIED if values[k] and values[k].split() != getattr(there, k).split()
    ]


def _label(key: str) -> str:
    return next(str(field.label) for field in SITE_FIELDS if field.key == key)
