"""Keep a table of finds on its way in, read it another way, and save what it holds: all of it or nothing."""

from datetime import datetime
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from finds.actions.record_many import record_many
from finds.import_file import table_of
from finds.import_rows import plan_rows
from finds.models import Find, FindImportDraft
from hunts.models import Hunt
from people import audit
from people.models import User
from people.rights import Right, require
from permissions.actions import NoDraftError
from permissions.actions.imports import KEPT_FOR
from web.taken import create_once


class ImportChangedError(Exception):
    """What would be saved is no longer what was looked at."""


@transaction.atomic
def keep_find_import(
    raw: bytes, filename: str, *, by: User, at: datetime, client_id: UUID, day_order: str = ""
) -> FindImportDraft:
    """Keep a file that could be read, for nobody but `by` and no longer than a boundary file. Sent twice it is one."""
    require(by, Right.LOG_HOLES)
    FindImportDraft.objects.filter(expires_at__lte=at).delete()
    draft, _rest = create_once(
        FindImportDraft,
        client_id=client_id,
        made_by=by,
        made_at=at,
        expires_at=at + KEPT_FOR,
        filename=filename,
        raw=raw,
        day_order=day_order,
    )
    return draft


@transaction.atomic
def reread_find_import(
    draft_id: int, *, by: User, at: datetime, encoding: str, day_order: str
) -> FindImportDraft:
    """Keep how the sender says the file is to be read. Raises NoDraftError."""
    draft = _locked(draft_id, by=by, at=at)
    if draft.saved_at is None:
        draft.encoding, draft.day_order = encoding, day_order
        draft.save(update_fields=["encoding", "day_order"])
    return draft


@transaction.atomic
def save_find_import(draft_id: int, *, by: User, at: datetime, seal: str) -> list[Find]:
    """Record every new row, screen each, and forget the file. Saved twice it changes nothing the second time.

    `seal` is `Plan.seal` as it was looked at. Raises NoDraftError, TableError, or ImportChangedError when a row has
    become wrong or known since; then nothing is saved.
    """
    draft = _locked(draft_id, by=by, at=at)
    if draft.saved_at is not None:
        return list(Find.objects.filter(pk__in=draft.made))
    table = table_of(draft)
    lock_hunts({row.cells.get("hunt", "") for row in table.rows}, by)
    plan = plan_rows(table, by=by, at=at, order=draft.day_order)
    if plan.problems or not plan.new or plan.seal != seal:
        raise ImportChangedError(_("Something has changed since you looked; look again, then save."))
    try:
        with transaction.atomic():
            finds = record_many(plan.new, by=by, at=at)
    except IntegrityError as error:
        # The same rows under other hunts, or one recorded by itself: that hunt's lock was not ours.
        raise ImportChangedError(
            _("Some of these finds were recorded at this moment; look again.")
        ) from error
    draft.saved_at, draft.raw, draft.made = at, None, [find.pk for find in finds]
    draft.save(update_fields=["saved_at", "raw", "made"])
    numbers = [finds[0].number, finds[-1].number]
    audit.record("find.import", draft, by=by, at=at, file=draft.filename, finds=len(finds), numbers=numbers)
    return finds


@transaction.atomic
def discard_find_import(draft_id: int, *, by: User, at: datetime) -> None:
    """Throw the file away; what was saved from it stays."""
    _locked(draft_id, by=by, at=at).delete()


def _locked(draft_id: int, *, by: User, at: datetime) -> FindImportDraft:
    require(by, Right.LOG_HOLES)
    drafts = FindImportDraft.objects.visible_to(by).live(at)
    draft = drafts.select_for_update().filter(pk=draft_id).first()
    if draft is None:
        raise NoDraftError(_("The file is no longer kept here; send it again."))
    return draft


def lock_hunts(codes: set[str], by: User) -> None:
    """Lock the hunts in one order: the same file sent twice at once waits here, and then finds its rows known."""
    wanted = {code.casefold() for code in codes}
    seen = Hunt.objects.visible_to(by).order_by("pk").values_list("pk", "code")
    keys = [pk for pk, code in seen if code.casefold() in wanted]
    list(Hunt.objects.select_for_update().filter(pk__in=keys).order_by("pk").values_list("pk"))
