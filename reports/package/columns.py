"""The tables of a data package, column by column, and what each column means."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from finds.record_page import described
from reports.build.heritage_case import CaseFacts, ObjectFacts
from reports.build.heritage_effort import Effort
from web.csv_safe import Cell


@dataclass(frozen=True, slots=True)
class Col:
    """One column: its name, what it means with its unit, and its value for one row."""

    name: str
    means: str
    value: Callable[[Any], Cell]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One CSV file: its columns, and the rows that they are read from."""

    file: str
    columns: tuple[Col, ...]
    rows: tuple[Any, ...]

    def lines(self) -> Iterator[list[Cell]]:
        return ([column.value(row) for column in self.columns] for row in self.rows)


def iso(moment: datetime | None) -> str:
    """Local time with its offset from UTC (ISO 8601), or nothing."""
    return localtime(moment).isoformat(timespec="seconds") if moment else ""


def _degrees(value: float | None) -> str:
    return "" if value is None else f"{value:.7f}"


def _lon(each: ObjectFacts) -> str:
    point = each.point
    return _degrees(point.lon) if point else ""


def _lat(each: ObjectFacts) -> str:
    point = each.point
    return _degrees(point.lat) if point else ""


def _materials(each: ObjectFacts) -> str:
    return "; ".join(said.in_full for said in described(each.find) if said.label == _("Material"))


OBJECTS = (
    Col("number", "The club's find number; it is written on the bag", lambda each: each.find.number),
    Col("object", "What it is, in words", lambda each: each.find.object_type),
    Col("object term", "Identifier of the term, where one was chosen", lambda each: each.find.object_uri),
    Col("how many", "Number of like objects", lambda each: each.find.count),
    Col("material", "Materials, with shares and terms where known", _materials),
    Col("description", "Description in words", lambda each: each.find.description),
    Col("inscription or marks", "As read", lambda each: each.find.inscription),
    Col("period", "Name of the period", lambda each: each.find.period),
    Col("period source", "The list that the period is taken from", lambda each: each.find.period_scheme),
    Col("year from", "Earliest year; BC as minus, there is no year 0", lambda each: each.find.year_from),
    Col("year to", "Latest year", lambda each: each.find.year_to),
    Col("date (EDTF)", "The same as an Extended Date/Time Format text", lambda each: each.find.edtf_date),
    Col("identified by", "Who identified it", lambda each: each.find.identified_by),
    Col("identified on", "Day, ISO 8601", lambda each: _day(each.find.identified_on)),
    Col("weight (g)", "Weight in grams", lambda each: each.find.weight_g),
    Col("length (mm)", "Millimetres", lambda each: each.find.length_mm),
    Col("width (mm)", "Millimetres", lambda each: each.find.width_mm),
    Col("thickness (mm)", "Millimetres", lambda each: each.find.thickness_mm),
    Col("diameter (mm)", "Millimetres", lambda each: each.find.diameter_mm),
    Col("completeness", "In words", lambda each: each.find.completeness),
    Col("condition", "In words", lambda each: each.find.condition),
    Col("found at", "Local time with its offset from UTC, ISO 8601", lambda each: iso(each.find.found_at)),
    Col("longitude", "Degrees east, WGS 84 (EPSG:4326)", _lon),
    Col("latitude", "Degrees north, WGS 84 (EPSG:4326)", _lat),
    Col("accuracy (m)", "Half-width of the 95 % interval in metres", lambda each: each.find.accuracy_m),
    Col("fixed by", "How the place was fixed", lambda each: each.fixed_by),
    Col("reference", "The place as a grid reference", lambda each: each.point.label if each.point else ""),
    Col("as entered", "What was typed or sent by the device", lambda each: each.find.position_text),
    Col("entered in", "Coordinate system of what was entered", lambda each: each.find.position_system),
    Col("changed by", "Transformation to WGS 84", lambda each: each.find.transformation),
    Col("site", "Field", lambda each: each.find.site.name),
    Col("parish", "Parish", lambda each: each.find.site.parish),
    Col("owner or occupier", "Who had a say over the land that day", lambda each: each.owners),
    Col("finder", "Name", lambda each: each.find.finder.name),
    Col("circumstances", "How it came to light", lambda each: each.circumstances),
    Col("depth (cm)", "Centimetres under the surface", lambda each: each.find.depth_cm),
    Col("context", "What it lay in", lambda each: each.find.context),
    Col("land use", "Use of the ground", lambda each: each.find.land_use),
    Col(
        "finds nearby", "Others on record within 50 m that are not of this case", lambda each: each.near.count
    ),
    Col("associated finds", "What was said to belong with it", lambda each: each.associated),
    Col(
        "same find",
        "Why it is grouped with the others",
        lambda each: each.find.group.reasons if each.find.group else "",
    ),
    Col("where it is now", "Who has it, and since when", lambda each: each.where_now),
)
DUTIES = (
    Col("number", "Find number", lambda row: row[0]),
    Col("clause", "Clause of the law or guidance", lambda row: row[1].clause),
    Col("title", "What it asks about", lambda row: row[1].title),
    Col("why", "Why it may apply", lambda row: " ".join(row[1].why)),
    Col("when", "By when", lambda row: row[1].due.words),
    Col("pack", "Rules that were compared, with their version", lambda row: row[2]),
)
CUSTODY = (
    Col("number", "Find number", lambda row: row[0]),
    Col("step", "1 is the finder", lambda row: row[1].step),
    Col("at", "Local time with its offset from UTC, ISO 8601", lambda row: iso(row[1].at)),
    Col("from", "Name", lambda row: row[1].from_shown),
    Col("to", "Name", lambda row: row[1].to_shown),
    Col("as", "What the receiver is", lambda row: row[1].get_to_holder_display()),
    Col("purpose", "What for", lambda row: row[1].purpose),
    Col("condition", "In words", lambda row: row[1].condition),
)


def _people(effort: Effort) -> int | None:
    """None for a past outing, of which nobody kept a roll."""
    return None if effort.people is None else effort.people + effort.guests


def _hours(effort: Effort) -> str:
    return "" if effort.hours is None else f"{effort.hours:.2f}"


SEARCH = (
    Col("hunt", "Code of the search", lambda each: each.code),
    Col("day", "ISO 8601", lambda each: each.on.isoformat()),
    Col("fields", "Names", lambda each: each.fields),
    Col("people", "Members and guests who signed in", _people),
    Col("hours", "Members' hours between sign-in and sign-out, added up", _hours),
    Col(
        "searched (m2)", "Ground open to the search, square metres", lambda each: f"{each.searchable_m2:.0f}"
    ),
    Col(
        "covered (m2)",
        "Ground under recorded tracks; empty without a track",
        lambda each: _area(each.drawn_m2),
    ),
    Col("holes", "Holes dug", lambda each: each.holes),
    Col("blank holes", "Holes that gave nothing", lambda each: each.blanks),
    Col("finds", "Finds on record of this search", lambda each: each.finds),
)


def _day(day: Any) -> str:
    return day.isoformat() if day else ""


def _area(area_m2: float | None) -> str:
    return "" if area_m2 is None else f"{area_m2:.0f}"


def sheets_of(facts: CaseFacts) -> tuple[Sheet, ...]:
    """The tables about the case. What photographs there are is known only once they are written."""
    duties, custody = [], []
    for each in facts.objects:
        record = each.screening.record if each.screening else None
        pack = f"{record.pack_code} {record.pack_version}" if record else ""
        duties += [(each.find.number, duty, pack) for duty in each.duties]
        custody += [(each.find.number, entry) for entry in each.custody]
    return (
        Sheet("objects.csv", OBJECTS, facts.objects),
        Sheet("duties.csv", DUTIES, tuple(duties)),
        Sheet("custody.csv", CUSTODY, tuple(custody)),
        Sheet("search.csv", SEARCH, facts.efforts),
    )
