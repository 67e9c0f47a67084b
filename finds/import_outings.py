"""The outings that rows without a hunt ask for: one for each day and field, there already or to be entered."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any
from uuid import UUID, uuid5

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from finds.import_ground import Ground, portions
from hunts.errors import HuntError
from hunts.models import Hunt, HuntSite
from people.models import User
from permissions.models import Site
from web.tables.errors import CellError
from web.tables.rows import Problem, Row
from web.tables.values import read_date

_SCOPE = UUID(
    "5d0c2f0e-4b0b-5f57-9c5d-6f0f0a3f9b61"
)  # chosen once at random: keys of outings never meet other keys


@dataclass
class Outing:
    """A day on a field with the rows and people of it. `hunt` is the one that is there."""

    on: date
    site: Site
    lines: list[int] = field(default_factory=list)
    people: dict[int, User] = field(default_factory=dict)
    hunt: Hunt | None = None

    @property
    def key(self) -> UUID:
        return uuid5(_SCOPE, f"{self.on.isoformat()}\n{self.site.pk}")

    @property
    def title(self) -> str:
        return _("Old finds of %(site)s") % {"site": self.site.code}


@dataclass
class Asked:
    """What the rows without a hunt ask for, and what is wrong with them."""

    outings: list[Outing] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def in_turn(self) -> list[Outing]:
        """The outings of good rows. Hunts that are there come before new ones: a new code locks the club's row, and
        whoever records a find takes the hunt first.
        """
        wrong = {problem.line for problem in self.problems}
        good = [outing for outing in self.outings if not wrong & set(outing.lines)]
        return sorted(good, key=lambda each: (each.hunt is None, each.hunt.pk if each.hunt else 0))

    def refuse(self, outing: Outing, why: HuntError) -> None:
        """The outing cannot be: a problem of each of its rows."""
        day = date_format(outing.on, "j M Y")
        self.problems += [Problem(line, _("found on"), day, str(why)) for line in outing.lines]


def outings_for(rows: Sequence[Row], *, by: User, order: str) -> Asked:
    """Group the rows that name no hunt by day and field. A few queries, however many rows."""
    bare = [row for row in rows if not row.cells.get("hunt") and not row.cells.get("number")]
    asked = Asked()
    sites = (
        {site.code.casefold(): site for site in Site.objects.visible_to(by).defer("boundary")} if bare else {}
    )
    ground = Ground(by, ())
    found: dict[tuple[date, int], Outing] = {}
    for row in bare:
        try:
            on, site = _day(row, order), _site(row, sites)
            finder = ground.finder(row.cells.get("finder", ""))
        except _ColumnError as error:
            asked.problems.append(_problem(row, error.column, str(error.__cause__)))
        except CellError as error:
            asked.problems.append(_problem(row, "finder", str(error)))
        else:
            outing = found.setdefault((on, site.pk), Outing(on, site))
            outing.lines.append(row.line)
            outing.people[finder.pk] = finder
    asked.outings = list(found.values())
    _find_hunts(asked, by)
    return asked


class _ColumnError(Exception):
    """Which column the cause is about."""

    def __init__(self, column: str) -> None:
        self.column = column
        super().__init__(column)


def _problem(row: Row, column: str, words: str) -> Problem:
    return Problem(row.line, column, row.cells.get(column, "")[:80], words)


def _day(row: Row, order: str) -> date:
    try:
        text = row.cells.get("found on", "")
        if not text:
            raise CellError(
                _("There is neither a hunt nor a day"),
                _("give the day on which it was found, or the hunt's code"),
            )
        return read_date(text, order=order)
    except CellError as error:
        raise _ColumnError(column="found on") from error


def _site(row: Row, sites: Mapping[str, Site]) -> Site:
    code = row.cells.get("site", "")
    site = sites.get(code.casefold())
    if site is not None:
        return site
    named = [site for site in sites.values() if code and site.name.casefold() == code.casefold()]
    if len(named) == 1:
        return named[0]
    what = (
        _("No site has the code or name “%(code)s”") % {"code": code}
        if code
        else _("There is neither a hunt nor a field")
    )
    raise _ColumnError(column="site") from CellError(
        what, _("give the code of a site that is here, or import the sites first")
    )


def _find_hunts(asked: Asked, by: User) -> None:
    """Hunts that were on those days and fields. Two on one day: only a person can tell which it was."""
    there: dict[tuple[date, int], list[Hunt]] = {}
    days = {outing.on for outing in asked.outings}
    seen = Hunt.objects.visible_to(by)
    for part in portions(days):
        rows = (
            HuntSite.objects.filter(hunt__on__in=part, hunt__in=seen)
            .select_related("hunt")
            .defer("hunt__gate_answer")
        )
        for row in rows:
            there.setdefault((row.hunt.on, row.site_id), []).append(row.hunt)
    for outing in asked.outings:
        hunts = there.get((outing.on, outing.site.pk), [])
        outing.hunt = hunts[0] if len(hunts) == 1 else None
        if len(hunts) > 1:
            words = _("Several hunts were on that day and field (%(codes)s); give the code under “hunt”.")
            codes = ", ".join(hunt.code for hunt in hunts)
            asked.problems += [Problem(line, "hunt", "", words % {"codes": codes}) for line in outing.lines]


def with_hunts(rows: Sequence[Row], outings: Sequence[Outing]) -> list[Row]:
    """The rows with the code of their outing and of their field filled in."""
    codes = {line: outing for outing in outings if outing.hunt for line in outing.lines}
    return [_with(row, codes.get(row.line)) for row in rows]


def _with(row: Row, outing: Outing | None) -> Row:
    if outing is None or outing.hunt is None:
        return row
    filled: dict[str, Any] = {"hunt": outing.hunt.code, "site": outing.site.code}
    return Row(row.line, {**row.cells, **filled})
