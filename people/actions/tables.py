"""Keep a table on its way in, hear how it is to be read, note what an import made, and take one back."""

from collections.abc import Callable, Collection, Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import models, transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from people import audit
from people.models import AuditEntry, Club, ColumnMemory, TableDraft, TableImport, User
from people.rights import Right, require
from people.tables import DraftTable
from web.tables.built_on import built_on
from web.tables.fields import Field
from web.tables.plan import ChangedError, Plan
from web.taken import create_once

KEPT_FOR = timedelta(days=2)
BACK_WITHIN = timedelta(days=1)
# Answers about how a file is written. Days of this year, letters to send and words about people are asked each time.
REMEMBERED = {"day_order", "name_order", "no_email", "capacity", "jurisdiction", "wkt_system", "past_basis"}


class NoTableError(Exception):
    """The file is no longer waiting: it was saved, thrown away or has expired."""


class TakeBackError(Exception):
    """The import stays; the sentence says why."""


@transaction.atomic
def keep_table(
    raw: bytes, filename: str, *, by: User, at: datetime, kind: str, client_id: UUID, encoding: str = ""
) -> TableDraft:
    """Keep a file that could be read for `KEPT_FOR`, for nobody but `by`. Expired ones go. Sent twice it is one."""
    require(by, Right.MANAGE_PEOPLE)
    TableDraft.objects.filter(expires_at__lte=at).delete()
    draft, _made = create_once(
        TableDraft,
        client_id=client_id,
        kind=kind,
        made_by=by,
        made_at=at,
        expires_at=at + KEPT_FOR,
        filename=filename,
        raw=raw,
        encoding=encoding,
    )
    return draft


@transaction.atomic
def choose_rows(
    key: UUID, *, by: User, at: datetime, sheet: str, header_line: int, encoding: str = ""
) -> TableDraft:
    """Keep which sheet is read, from which line, in which letters; columns matched before are matched anew."""
    draft = lock_table(key, by=by, at=at)
    draft.sheet, draft.header_line, draft.encoding = sheet, header_line, encoding
    draft.columns, draft.answers = {}, {}
    draft.save(update_fields=["sheet", "header_line", "encoding", "columns", "answers"])
    return draft


@transaction.atomic
def match_columns(
    key: UUID, *, by: User, at: datetime, digest: str, columns: Mapping[int, str], answers: Mapping[str, Any]
) -> TableDraft:
    """Keep which column is which field, for this file and for the next one with the same columns."""
    draft = lock_table(key, by=by, at=at)
    draft.columns = {str(number): field for number, field in columns.items()}
    draft.answers = dict(answers)
    draft.save(update_fields=["columns", "answers"])
    ColumnMemory.objects.update_or_create(
        kind=draft.kind,
        digest=digest,
        defaults={
            "columns": draft.columns,
            "answers": {name: value for name, value in answers.items() if name in REMEMBERED},
            "confirmed_at": at,
        },
    )
    return draft


@transaction.atomic
def discard_table(key: UUID, *, by: User, at: datetime) -> None:
    """Throw the file away; nothing was saved from it."""
    lock_table(key, by=by, at=at).delete()


def lock_table(key: UUID, *, by: User, at: datetime) -> TableDraft:
    """The draft of `by`, locked. Raises NoTableError once it is gone."""
    require(by, Right.MANAGE_PEOPLE)
    draft = TableDraft.objects.visible_to(by).live(at).select_for_update().filter(client_id=key).first()
    if draft is None:
        raise NoTableError(_("The file is no longer kept here; send it again."))
    return draft


def begin_save(key: UUID, *, by: User, at: datetime) -> TableDraft | TableImport:
    """The draft of `by`, locked, or the import that it became, also if that was at this very moment.

    Raises NoTableError once neither is there.
    """
    made = TableImport.objects.filter(client_id=key, made_by=by)
    try:
        return made.first() or lock_table(key, by=by, at=at)
    except NoTableError:
        done = made.first()  # whoever held the lock has saved it
        if done is None:
            raise
        return done


def plan_again(
    draft: TableDraft,
    fields: tuple[Field, ...],
    plan_rows: Callable[..., Plan],
    *,
    by: User,
    at: datetime,
    seal: str,
) -> tuple[Plan, int]:
    """What the file would make as things stand now, and how many rows it has, once it is this import's turn.

    `plan_rows` judges the matched rows. Raises TableError, or ChangedError when it is no longer what was looked at.
    """
    take_turns()
    table = DraftTable(draft, fields)
    matched = table.matched()
    plan = plan_rows(matched, table.answers, by=by, at=at)
    if not plan.may_save or plan.seal != seal:
        raise ChangedError
    return plan, len(matched.rows)


def take_turns() -> None:
    """Imports of people and land wait for each other on the club's row, so that each sees what the last one made."""
    Club.objects.select_for_update().filter(pk=1).first()


def note_import(
    draft: TableDraft,
    *,
    by: User,
    at: datetime,
    rows: int,
    made: Mapping[str, Iterable[models.Model]],
    gained: int,
) -> TableImport:
    """Write down what an import made, on the trail with its counts, and forget the file. Inside its transaction."""
    keys = {name: [row.pk for row in records] for name, records in made.items()}
    noted = TableImport.objects.create(
        client_id=draft.client_id,
        kind=draft.kind,
        made_by=by,
        made_at=at,
        filename=draft.filename,
        rows=rows,
        made=keys,
        gained=gained,
    )
    counts = {name: len(values) for name, values in keys.items()}
    audit.record("table.import", noted, by=by, at=at, kind=draft.kind, rows=rows, gained=gained, made=counts)
    draft.delete()
    return noted


def lock_import(import_id: int, *, by: User, at: datetime) -> TableImport | None:
    """The import to be taken back, locked; None if it is back already. Raises TakeBackError once its day is over."""
    require(by, Right.MANAGE_PEOPLE)
    take_turns()
    row: TableImport = TableImport.objects.select_for_update(of=("self",)).get(pk=import_id)
    if row.taken_back_at is not None:
        return None
    if at > row.made_at + BACK_WITHIN:
        raise TakeBackError(_("More than a day has passed; change what is wrong record by record."))
    if row.gained:
        raise TakeBackError(
            ngettext(
                "%(count)s of its rows added something to a record that was here before. Change that by hand; what "
                "was there already is never taken away with an import.",
                "%(count)s of its rows added something to records that were here before. Change those by hand; what "
                "was there already is never taken away with an import.",
                row.gained,
            )
            % {"count": row.gained}
        )
    return row


def remove_made(
    row: TableImport,
    records: Mapping[type[models.Model], Iterable[int]],
    *,
    by: User,
    at: datetime,
    but: Collection[type[models.Model]] = (),
) -> None:
    """Delete what the import made, in the order given, if nobody has built on it; the trail keeps what was there.

    Models in `but` are worked out from the rows and go with them. Raises TakeBackError naming what hangs on the rows,
    or that one was changed.
    """
    keys = {model: list(values) for model, values in records.items()}
    if (where := built_on(keys, but=but)) is not None:
        raise TakeBackError(
            _(
                "Something hangs on what it made by now (%(what)s), so it stays. Change or retire single records."
            )
            % {"what": where}
        )
    if _changed_since(row, keys):
        raise TakeBackError(
            _("Some of its records were changed since, so it stays. Change or retire single records.")
        )
    for model, values in keys.items():
        for part in range(0, len(values), 500):
            model._base_manager.filter(pk__in=values[part : part + 500]).delete()
    row.taken_back_at, row.taken_back_by = at, by
    row.save(update_fields=["taken_back_at", "taken_back_by"])
    counts = {model._meta.label: len(values) for model, values in keys.items()}
    audit.record("table.take_back", row, by=by, at=at, kind=row.kind, removed=counts)


def _changed_since(row: TableImport, keys: Mapping[type[models.Model], list[int]]) -> bool:
    """Does the trail tell of any of these records after the import itself?"""
    subjects = [f"{model._meta.label}:{pk}" for model, values in keys.items() for pk in values]
    later = AuditEntry.objects.filter(at__gt=row.made_at)
    return any(
        later.filter(subject__in=subjects[part : part + 500]).exists()
        for part in range(0, len(subjects), 500)
    )
