"""What the rows of a table would become: new finds, finds that are here already, and what is wrong, row by row.

Nothing is written here. The same code makes the preview and, under lock, what is saved.
"""

from collections import Counter
from collections.abc import Iterable
from datetime import date, datetime
from functools import partial
from typing import Any
from uuid import UUID, uuid5

from django.core.exceptions import ValidationError
from django.utils.formats import date_format
from django.utils.timezone import localtime, make_aware
from django.utils.translation import gettext as _

from finds.circumstances import NO_PRECIOUS, answers_from
from finds.csv_columns import BY_NAME, COLUMNS, NUMBER, reader_of_column
from finds.csv_read import Table
from finds.import_dating import check_dating
from finds.import_ground import ComingHunt, Ground, known_finds
from finds.import_notes import notes_of
from finds.import_place import place_columns
from finds.import_plan import Coming, Plan, Values
from finds.import_same import differences
from finds.models import Find
from finds.models.choices import Material
from hunts.models import Hunt
from people.models import User
from people.rights import Right
from permissions.models import Site
from tongue import all_of
from web.tables.errors import CellError
from web.tables.rows import Problem, Row

_SCOPE = UUID(
    "0b6a1c6e-6c0c-5a53-9f6e-7d1d2b1f4c55"
)  # chosen once at random: keys of rows never meet other keys


class _Reader:
    """Reads one row's cells and collects what is wrong with them."""

    def __init__(self, row: Row, order: str) -> None:
        self.row, self.problems = row, list[Problem]()
        self.order = order

    def wrong(self, column: str, words: str) -> None:
        self.problems.append(Problem(self.row.line, column, self.row.cells.get(column, "")[:80], words))

    def values(self) -> Values:
        """Every cell that is filled, read; cells that cannot be are noted."""
        found: Values = {}
        for column in COLUMNS:
            text = self.row.cells.get(column.name, "")
            if not text:
                if column.is_needed:
                    self.wrong(
                        column.name,
                        _("“%(column_name)s” is empty; every row needs it.") % {"column_name": column.name},
                    )
                continue
            try:
                found[column.name] = reader_of_column(column.name, order=self.order)(text)
            except CellError as error:
                self.wrong(column.name, str(error))
        return found


def plan_rows(
    table: Table, *, by: User, at: datetime, order: str = "", coming: Iterable[ComingHunt] = ()
) -> Plan:
    """Judge every row for `by` as things stand at `at`, the `coming` hunts being there. A fixed number of queries for
    each 500 rows."""
    plan = Plan()
    _check_columns(table, plan)
    ground = Ground(by, {row.cells.get("hunt", "") for row in table.rows}, coming)
    seen: Counter[str] = Counter()
    for row in table.rows:
        reader = _Reader(row, order)
        good = _coming(reader, ground, seen, at=at)
        plan.problems += reader.problems
        if good is not None and not reader.problems:
            plan.new.append(good)
    _check_twice(plan)
    _part_known(plan, table, by)
    for each in plan.new:
        each.warnings = notes_of(each.fields, each.materials)
    plan.unnamed = sum(not row.fields["own_reference"] for row in plan.new)
    return plan


def _check_columns(table: Table, plan: Plan) -> None:
    for column in COLUMNS:
        if column.is_needed and column.name not in table.columns:
            plan.problems.append(
                Problem(
                    1,
                    column.name,
                    "",
                    _("There is no column “%(column_name)s”; add it.") % {"column_name": column.name},
                )
            )


def _coming(reader: _Reader, ground: Ground, seen: Counter[str], *, at: datetime) -> Coming | None:
    given = reader.values()
    base = _base(reader, ground)
    if base is None:
        return None
    hunt, finder, site = base
    fields: Values = {c.field: given[c.name] for c in COLUMNS if c.field and c.name in given}
    fields |= {"site": site, "finder": finder, "found_at": _found_at(reader, hunt, given, at=at)}
    fields["own_reference"] = fields.get("own_reference", "")
    if weight := given.get("weight (g)"):
        fields |= {"weight_g": weight.grams, "weight_as_typed": weight.words}
    fields |= place_columns(given, site, partial(ground.boundary, hunt, site), reader.wrong)
    materials = given.get("materials", {})
    fields["facts"] = _facts(reader, given, materials)
    check_dating(fields, hunt.on, today=localtime(at).date(), wrong=reader.wrong)
    _check_model(reader, fields)
    return Coming(
        reader.row.line, _key(reader.row, finder, hunt, seen), hunt, finder, fields, materials, given
    )


def _base(reader: _Reader, ground: Ground) -> tuple[Hunt, User, Site] | None:
    """Hunt, finder and field; None where one cannot be told, or may not be."""
    cells = reader.row.cells
    found: dict[str, Any] = {}
    for name, ask in (("hunt", ground.hunt), ("finder", ground.finder)):
        try:
            found[name] = ask(cells.get(name, "")) if name == "finder" or cells.get(name) else None
        except CellError as error:
            reader.wrong(name, str(error))
    hunt, finder = found.get("hunt"), found.get("finder")
    if hunt is None or finder is None:
        return None
    _check_may(reader, ground, hunt, finder)
    try:
        return hunt, finder, ground.site(hunt, cells.get("site", ""))
    except CellError as error:
        reader.wrong("site", str(error))
        return None


def _check_may(reader: _Reader, ground: Ground, hunt: Hunt, finder: User) -> None:
    by = ground.by
    if by.pk != finder.pk and by.pk != hunt.leader_id and not by.holds(Right.SEE_ALL_FINDS):
        reader.wrong("finder", _("You may import your own finds, and those of hunts you lead."))
    elif (hunt.pk, finder.pk) not in ground.on_hunt:
        reader.wrong(
            "finder",
            _("%(finder_name)s was not signed up for %(hunt_code)s; the leader adds whoever was there.")
            % {"finder_name": finder.name, "hunt_code": hunt.code},
        )


def _found_at(reader: _Reader, hunt: Hunt, given: Values, *, at: datetime) -> datetime:
    """When it was found; without a time, the hunt's finish, for more is not known."""
    day: date = given.get("found on", hunt.on)
    if day != hunt.on:
        words = _("%(day)s is not the day of %(hunt)s (%(on)s); give that day, or the hunt it belongs to.")
        told = {"day": date_format(day, "j M Y"), "hunt": hunt.code, "on": date_format(hunt.on, "j M Y")}
        reader.wrong("found on", words % told)
    found = make_aware(datetime.combine(day, given.get("time", hunt.ends_at)))
    if "time" not in given and localtime(at).date() == day:
        found = min(found, at)
    if found > at:
        reader.wrong(
            "time" if "time" in given else "found on",
            _("%(found)s has not come yet.") % {"found": date_format(localtime(found), "j M Y H:i")},
        )
    return found


def _facts(reader: _Reader, given: Values, materials: Iterable[tuple[str, str]]) -> dict[str, Any]:
    facts = answers_from(given.get("circumstances", []))
    if not given.get("no gold or silver"):
        return facts
    listed = sorted({"gold", "silver"} & {name for name, _rest in materials})
    if listed:
        reader.wrong(
            "no gold or silver",
            _("“no gold or silver” is yes and %(listed)s is listed; take one of the two away.")
            % {"listed": all_of(str(Material(name).label).lower() for name in listed)},
        )
    return facts | NO_PRECIOUS


_OF_FIELD = {column.field: column.name for column in COLUMNS if column.field} | {"weight_g": "weight (g)"}


def _check_model(reader: _Reader, fields: Values) -> None:
    """What the record itself holds of each value: length of text, figures before the point, highest and lowest."""
    known = {name: value for name, value in fields.items() if name in _OF_FIELD}
    record = Find(**known)
    others = [f.name for f in Find._meta.fields if f.name not in known]
    try:
        record.clean_fields(exclude=others)
    except ValidationError as error:
        for name, messages in error.message_dict.items():
            reader.wrong(_OF_FIELD[name], " ".join(messages))


def _key(row: Row, finder: User, hunt: Hunt, seen: Counter[str]) -> UUID:
    """The row's key: the finder's own reference, or the number of an export, or else all that the row says.

    Rows that say the same are told apart by their order, so that ten like buttons are ten, twice or once.
    """
    if reference := row.cells.get("own reference", ""):
        return uuid5(_SCOPE, f"{finder.pk}\nreference\n{reference}")
    if number := row.cells.get(NUMBER, ""):
        return uuid5(_SCOPE, f"{finder.pk}\nnumber\n{hunt.code}\n{number}")
    said = "\n".join(f"{name}\t{row.cells[name]}" for name in sorted(row.cells) if name in BY_NAME)
    seen[f"{finder.pk}\n{said}"] += 1
    return uuid5(_SCOPE, f"{finder.pk}\nrow\n{seen[f'{finder.pk}{chr(10)}{said}']}\n{said}")


def _check_twice(plan: Plan) -> None:
    first: dict[UUID, int] = {}
    for row in plan.new:
        line = first.setdefault(row.key, row.line)
        if line != row.line:
            reference = row.fields["own_reference"]
            words = _("Line %(line)s has the same reference and finder; give each find its own.")
            words %= {"line": line}
            plan.problems.append(Problem(row.line, "own reference", reference, words))
    plan.problems.sort(key=lambda problem: problem.line)


def _part_known(plan: Plan, table: Table, by: User) -> None:
    """Take out of `new` what is here already, and say where file and record differ."""
    numbers = {row.line: row.cells[NUMBER] for row in table.rows if row.cells.get(NUMBER)}
    there = known_finds((row.key for row in plan.new), numbers.values())
    coming, plan.new = plan.new, []
    for row in coming:
        row.there = there.get(row.key) or there.get(numbers.get(row.line, ""))
        if row.there is None:
            plan.new.append(row)
        elif _may_compare(row.there, by):
            row.differs = differences(row, by)
            plan.known.append(row)
        else:
            words = _(
                "This belongs to a record that you may not see; give another reference, or leave it out."
            )
            column = "own reference" if row.fields["own_reference"] else NUMBER
            plan.problems.append(Problem(row.line, column, str(row.fields["own_reference"]), words))


def _may_compare(find: Find, by: User) -> bool:
    return by.pk in {find.finder_id, find.hunt.leader_id} or by.holds(Right.SEE_ALL_FINDS)
