"""What follows a report: the stages of a place's procedure, and the official limits that were read. Pure.

No limit is invented: a stage whose figure was not read has none, and what is from memory may not have one.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from pathlib import Path

from law.clock import add_months, day_words
from law.model import Checked
from law.pack import PACKS_DIR, load_pack, pack_codes
from law.tables import PackError, Table, read_tables

STAGES_FILE = PACKS_DIR.parent / "stages.toml"
NO_LIMIT = "no official limit read"
_MARKS = {
    Checked.READ: "read in the law's own text",
    Checked.SECONDARY: "read in official guidance",
    Checked.MEMORY: "from memory, not checked",
}


@dataclass(frozen=True, slots=True)
class Limit:
    """So many days or months after the day of another stage. One of the two is 0."""

    after: str
    words: str
    days: int = 0
    months: int = 0

    def last_day(self, start: date) -> date:
        """The last day, the day of the other stage not counted: 28 days after 1 May is 29 May."""
        return add_months(start, self.months) if self.months else start + timedelta(self.days)

    def counted(self, start: date) -> str:
        """The count spelled out."""
        size = f"{self.months} months" if self.months else f"{self.days} days"
        return f"{day_words(start)} → {size} after that day → {day_words(self.last_day(start))}."


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage: what happens, who acts, by when if a limit was read, and where that was read."""

    id: str
    title: str
    who: str
    words: str
    source: str
    checked: Checked
    limit: Limit | None = None
    is_report: bool = False

    @property
    def limit_words(self) -> str:
        """The limit in words, also where there is none."""
        if self.limit is not None:
            return self.limit.words
        return "as the screening counts it" if self.is_report else NO_LIMIT

    @property
    def mark(self) -> str:
        return _MARKS[self.checked]


@dataclass(frozen=True, slots=True)
class Course:
    """The stages of one procedure in their usual order. Not every case goes through all of them."""

    id: str
    title: str
    places: tuple[str, ...]
    rules: frozenset[str]
    stages: tuple[Stage, ...]

    def holds_for(self, place: str, rules: Collection[str]) -> bool:
        """Does it hold in that place, for a case in which these rules were found to apply?"""
        return place in self.places and (not self.rules or not self.rules.isdisjoint(rules))


@dataclass(frozen=True, slots=True)
class StageLook:
    """A stage as one case stands to it: the day it was reached, or the day by which it is due, if any was read."""

    stage: Stage
    reached: date | None
    due: date | None
    counted: str = ""

    def is_late(self, today: date) -> bool:
        return self.reached is None and self.due is not None and self.due < today


def courses_for(place: str, rules: Collection[str]) -> tuple[Course, ...]:
    """The procedures of a case in that place; none where nothing was read about it."""
    return tuple(course for course in load_courses() if course.holds_for(place, rules))


def look_at(course: Course, reached: Mapping[str, date], reported_on: date | None) -> tuple[StageLook, ...]:
    """Every stage of `course`, by the days on which stages were reached. The report counts as its own stage."""
    days = dict(reached)
    for stage in course.stages:
        if stage.is_report and reported_on is not None:
            days.setdefault(stage.id, reported_on)
    return tuple(_look(stage, days) for stage in course.stages)


def _look(stage: Stage, days: Mapping[str, date]) -> StageLook:
    start = days.get(stage.limit.after) if stage.limit else None
    if stage.limit is None or start is None:
        return StageLook(stage, days.get(stage.id), None)
    return StageLook(stage, days.get(stage.id), stage.limit.last_day(start), stage.limit.counted(start))


def first_due(looks: Iterable[StageLook]) -> StageLook | None:
    """The stage that is due first among those awaited."""
    awaited = [look for look in looks if look.reached is None and look.due is not None]
    return min(awaited, key=lambda look: look.due or date.max, default=None)


@lru_cache(maxsize=1)
def load_courses() -> tuple[Course, ...]:
    """Every procedure of the shipped file. Raises PackError for the first slip."""
    courses, slips = read_courses(STAGES_FILE)
    if slips:
        raise slips[0]
    return courses


def read_courses(path: Path, text: str | None = None) -> tuple[tuple[Course, ...], list[PackError]]:
    """The procedures in that file, or in `text` as if it stood there, and every slip."""
    courses: list[Course] = []
    slips: list[PackError] = []
    try:
        tables = read_tables(path, text)
    except PackError as error:
        return (), [error]
    for table in tables:
        try:
            courses.append(_course(table))
        except PackError as error:
            slips.append(error)
    if not courses and not slips:
        slips.append(PackError(path, 1, "holds no [[course]]."))
    return tuple(courses), [*slips, *_twice(tables, courses)]


def _course(table: Table) -> Course:
    if table.name != "course":
        raise table.error("is not known here; write [[course]].")
    table.only("id", "title", "places", "rules", "stage")
    stages = tuple(_stage(table, values) for values in table.need("stage", list))
    course = Course(
        id=table.need("id", str),
        title=table.need("title", str),
        places=table.words("places"),
        rules=frozenset(table.words("rules")),
        stages=stages,
    )
    _check_course(table, course)
    return course


def _stage(course: Table, values: object) -> Stage:
    if not isinstance(values, dict):
        raise course.error("a stage is a table; write [[course.stage]] above its keys.", "stage")
    table = Table("stage", values, course.path, course.line)
    table.only("id", "report", "title", "who", "words", "limit", "source", "checked")
    mark = table.need("checked", str)
    if mark not in set(Checked):
        raise table.error(f"checked is “{mark}”; write one of {', '.join(Checked)}.")
    return Stage(
        id=table.need("id", str),
        title=table.need("title", str),
        who=table.need("who", str),
        words=table.need("words", str),
        source=table.need("source", str),
        checked=Checked(mark),
        limit=_limit(table, Checked(mark)),
        is_report=table.maybe("report", bool, False),
    )


def _limit(stage: Table, checked: Checked) -> Limit | None:
    values: dict[str, object] = stage.maybe("limit", dict, {})
    if not values:
        return None
    if checked is Checked.MEMORY:
        raise stage.error("a stage from memory may not count days; leave limit out.")
    table = Table("limit", {"id": stage.values.get("id"), **values}, stage.path, stage.line)
    table.only("id", "days", "months", "after", "words")
    limit = Limit(
        after=table.need("after", str),
        words=table.need("words", str),
        days=table.maybe("days", int, 0),
        months=table.maybe("months", int, 0),
    )
    if min(limit.days, limit.months) < 0 or (limit.days > 0) == (limit.months > 0):
        raise table.error(f"has days {limit.days} and months {limit.months}; give one of them, more than 0.")
    return limit


def _check_course(table: Table, course: Course) -> None:
    """Limits run from an earlier stage, places have packs, and the rules named stand in them."""
    seen: set[str] = set()
    for stage in course.stages:
        if stage.limit is not None and stage.limit.after not in seen:
            raise table.error(
                f"stage “{stage.id}” runs from “{stage.limit.after}”, which is no earlier stage."
            )
        seen.add(stage.id)
    unknown = [place for place in course.places if place not in pack_codes()]
    if unknown or not course.places:
        raise table.error(f"places: there is no pack “{', '.join(unknown)}”.", "places")
    for place in course.places:
        missing = course.rules - {rule.id for rule in load_pack(place).rules}
        if missing:
            raise table.error(f"rules: the pack “{place}” has no {', '.join(sorted(missing))}.", "rules")


def _twice(tables: Iterable[Table], courses: Iterable[Course]) -> list[PackError]:
    """Cases name stages, so that each name stands once in the whole file."""
    where = {str(table.values.get("id")): table for table in tables}
    seen: set[str] = set()
    slips = []
    for course in courses:
        for stage in course.stages:
            if stage.id in seen:
                slips.append(where[course.id].error(f"stage “{stage.id}” stands there twice."))
            seen.add(stage.id)
    return slips
