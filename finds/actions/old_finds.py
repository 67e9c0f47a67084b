"""Save a table of old finds: outings for days and fields that have none yet, then the finds. All of it or nothing."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction

from finds.actions.imports import lock_hunts
from finds.actions.record_many import record_many
from finds.import_fields import FIND_FIELDS
from finds.import_judged import judge_old_finds
from finds.import_outings import Asked, Outing, outings_for
from hunts.actions import add_to_past_outing, enter_past_outing
from hunts.errors import HuntError
from hunts.models import Hunt
from people.actions.tables import begin_save, note_import
from people.models import TableImport, User
from people.rights import Right, require
from people.tables import DraftTable
from web.tables.plan import ChangedError


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
    judged = judge_old_finds(matched, asked, table.answers, (), entered, by=by, at=at)
    if judged.plan.problems or not judged.plan.new or judged.plan.seal != seal:
        raise ChangedError
    try:
        with transaction.atomic():
            finds = record_many(judged.plan.new, by=by, at=at)
    except IntegrityError as error:
        raise ChangedError from error  # the same rows recorded by somebody else at this moment
    made: dict[str, list[Any]] = {"finds": finds, "outings": judged.entered}
    return note_import(draft, by=by, at=at, rows=len(matched.rows), made=made, gained=0)
