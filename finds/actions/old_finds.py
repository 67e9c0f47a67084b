"""Save a table of old finds: outings for days and fields that have none yet, then the finds. All of it or nothing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.timezone import localdate

from finds.actions.imports import lock_hunts
from finds.actions.record_many import record_many
from finds.csv_read import Table
from finds.import_coming import as_entered
from finds.import_fields import FIND_FIELDS
from finds.import_ground import ComingHunt
from finds.import_outings import Asked, Outing, outings_for, with_hunts
from finds.import_plan import Plan as FindPlan
from finds.import_rows import plan_rows
from hunts.actions import add_to_past_outing, enter_past_outing
from hunts.errors import HuntError
from hunts.models import Hunt
from people.actions.tables import begin_save, note_import
from people.models import TableImport, User
from people.rights import Right, require
from people.tables import DraftTable
from web.tables.match import Matched
from web.tables.plan import ChangedError
from web.tables.rows import Problem


@dataclass
class Judged:
    """The finds as they would be, and the outings that would be entered for them."""

    plan: FindPlan
    entered: list[Hunt]


def try_old_finds(matched: Matched, answers: Mapping[str, Any], *, by: User, at: datetime) -> Judged:
    """What the rows would become on outings as they would be entered. Nothing is written and nobody waits for it."""
    require(by, Right.MANAGE_PERMISSIONS)
    asked = outings_for(matched.rows, by=by, order=str(answers.get("day_order", "")))
    coming = as_entered(asked, today=localdate(at))
    entered = [each.hunt for each in coming if each.fields]
    return _judge(matched, asked, answers, coming, entered, by=by, at=at)


def _judge(
    matched: Matched,
    asked: Asked,
    answers: Mapping[str, Any],
    coming: Sequence[ComingHunt],
    entered: list[Hunt],
    *,
    by: User,
    at: datetime,
) -> Judged:
    order = str(answers.get("day_order", ""))
    failed = {problem.line for problem in asked.problems}
    rows = [row for row in with_hunts(matched.rows, asked.outings) if row.line not in failed]
    columns = {"hunt", *(key for row in rows for key in row.cells)}
    table = Table("", True, "", tuple(sorted(columns | {"object"})), tuple(rows))
    plan = plan_rows(table, by=by, at=at, order=order, coming=coming)
    problems = [*matched.problems, *asked.problems, *plan.problems]
    plan.problems = sorted((_named(p, matched.headers) for p in problems), key=lambda problem: problem.line)
    return Judged(plan, entered)


def _named(problem: Problem, headers: Mapping[str, str]) -> Problem:
    """The problem under the name that the column has in the file."""
    column = headers.get(problem.column, problem.column)
    return Problem(problem.line, column, problem.value, problem.words)


def _enter(asked: Asked, answers: Mapping[str, Any], *, by: User, at: datetime) -> list[Hunt]:
    """Outings for days that have none, and more people for past ones. What cannot be is a problem of its rows."""
    entered = []
    for outing in asked.in_turn():
        try:
            if outing.hunt is None:
                outing.hunt = _entered(outing, answers, by=by, at=at)
                entered.append(outing.hunt)
            elif outing.hunt.is_past_outing:
                add_to_past_outing(outing.hunt.pk, outing.people.values(), by=by, at=at)
        except HuntError as error:
            asked.refuse(outing, error)
    return entered


def _entered(outing: Outing, answers: Mapping[str, Any], *, by: User, at: datetime) -> Hunt:
    people = list(outing.people.values())
    return enter_past_outing(
        [outing.site],
        people,
        by=by,
        at=at,
        client_id=outing.key,
        on=outing.on,
        title=outing.title,
        leader=people[0],
        past_basis=answers["past_basis"],
        past_why=answers["past_why"],
    )


@transaction.atomic
def save_old_finds(key: UUID, *, by: User, at: datetime, seal: str) -> TableImport:
    """Enter the outings, record every new find and screen it, and forget the file. Saved twice it is once.

    `seal` is the plan's as it was looked at. Raises NoTableError, TableError, or ChangedError.
    """
    require(by, Right.MANAGE_PERMISSIONS)
    draft = begin_save(key, by=by, at=at)
    if isinstance(draft, TableImport):
        return draft
    table = DraftTable(draft, FIND_FIELDS)
    matched = table.matched()
    asked = outings_for(matched.rows, by=by, order=str(table.answers.get("day_order", "")))
    there = {outing.hunt.code for outing in asked.outings if outing.hunt}
    lock_hunts(there | {row.cells.get("hunt", "") for row in matched.rows}, by)
    entered = _enter(asked, table.answers, by=by, at=at)
    judged = _judge(matched, asked, table.answers, (), entered, by=by, at=at)
    if judged.plan.problems or not judged.plan.new or judged.plan.seal != seal:
        raise ChangedError
    try:
        with transaction.atomic():
            finds = record_many(judged.plan.new, by=by, at=at)
    except IntegrityError as error:
        raise ChangedError from error  # the same rows recorded by somebody else at this moment
    made: dict[str, list[Any]] = {"finds": finds, "outings": judged.entered}
    return note_import(draft, by=by, at=at, rows=len(matched.rows), made=made, gained=0)
