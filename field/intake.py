"""Records from a phone, taken in one by one: each is stored once, parked with its reason, or asked for again."""

import logging
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any, NoReturn
from uuid import UUID

from django.db import InterfaceError, OperationalError
from django.db.models import Model
from django.utils.translation import gettext as _

from field.actions import settle
from field.actions.records import FAULT, Incoming
from field.envelope import (
    KINDS,
    BadRecordError,
    Envelope,
    digest_of,
    later_key,
    moment_of,
    read_envelope,
)
from field.errors import REFUSALS, NotNeededError, NotStoredError, NotYetError, NotYoursError, refused
from field.kinds import Coming, ready
from field.models import PhoneRecord, Reason
from field.models.record import State
from field.results import Result, not_yours, result_of, waiting
from field.sending import Sending
from hunts.models import Hunt
from people.models import User

MOST_AT_ONCE = 50
log = logging.getLogger(__name__)


def take(raws: Sequence[Any], *, by: User, at: datetime, device_now: datetime | None) -> list[Result]:
    """An answer for each record, in the order sent. Taken in the order in which they belong to each other.

    Each is a transaction of its own. What waited for one of them follows when all have been taken.
    """
    sending = Sending(raws, by=by, at=at, device_now=device_now)
    answers: dict[int, Result] = {}
    settled: list[UUID] = []
    for number in sorted(range(len(raws)), key=lambda n: (_rank(raws[n]), n)):
        answers[number] = _take_one(raws[number], sending, settled)
    _follow(settled, by=by, at=at)
    return [answers[number] for number in range(len(raws))]


def _rank(raw: Any) -> int:
    kind = raw.get("kind") if isinstance(raw, dict) else None
    return KINDS.index(kind) if isinstance(kind, str) and kind in KINDS else len(KINDS)


def _take_one(raw: Any, sending: Sending, settled: list[UUID], digest: str = "") -> Result:
    """Store one record, or park it. One that is stored and comes in other words is a change of it.

    `digest` is that of the record as the phone has it, where `raw` was worked on since. `settled` gains the key of
    what others may have waited for.
    """
    key = sending.key_of(raw)
    named = raw.get("client_id") if isinstance(raw, dict) else None
    shown = named if isinstance(named, str) else None
    there = sending.row_of(key)
    if there is not None and _is_done(there, raw):
        return result_of(there, shown, is_new=False)
    if there is not None and there.state == State.STORED:
        return _later_wording(raw, there, sending, settled)
    try:
        incoming, write = _made_ready(key, raw, there, sending)
        incoming = replace(incoming, digest=digest or digest_of(raw))
        row, is_new = settle(incoming, write, by=sending.by, at=sending.at)
    except NotYetError:
        return waiting(key)
    except NotYoursError:
        return not_yours(shown)
    sending.is_settled(key)
    if row.state != State.PARKED:
        settled.append(key)
    return result_of(row, shown, is_new=is_new)


def _is_done(row: PhoneRecord, raw: Any) -> bool:
    return row.state != State.PARKED and row.digest == digest_of(raw)


def _later_wording(raw: dict[str, Any], there: PhoneRecord, sending: Sending, settled: list[UUID]) -> Result:
    """It was stored, the answer was lost, and it was edited before it was sent again: what is new is a change."""
    fields = raw.get("data")
    key = later_key(there.client_id, digest_of(raw))
    change = raw | {
        "client_id": str(key),
        "kind": "change",
        "data": {"of": str(there.client_id), "fields": fields},
    }
    answer = _take_one(change, sending, settled)
    if answer.state == "parked":
        return Result(str(there.client_id), "parked", url=answer.url, why=answer.why, way_on=answer.way_on)
    return result_of(there, there.client_id, is_new=answer.state == "stored")


def _made_ready(
    key: UUID, raw: Any, there: PhoneRecord | None, sending: Sending
) -> tuple[Incoming, Callable[[], Model]]:
    hunt, sent = None, None
    try:
        sent = read_envelope(raw)
        hunt = _hunt(sent, sending)
        moment = moment_of(sent, device_now=sending.device_now, now=sending.at)
        let_in_by = there.let_in_by if there else None
        coming = Coming(sent, hunt, sending.by, moment, sending.at, let_in_by)
        raw = raw | {"at": moment.isoformat()}
        write = _guarded(coming)
    except NotYetError:
        raise
    except (NotStoredError, NotNeededError) as error:
        write = _raising(error)
    except BadRecordError as error:
        write = _raising(NotStoredError(Reason.UNKNOWN, str(error)))
    kind, owner = (sent.kind, sent.belongs_to) if sent else ("unreadable", None)
    return Incoming(key, kind, "", hunt, owner, raw, is_new=there is None), write


def _hunt(sent: Envelope, sending: Sending) -> Hunt:
    """The hunt that it names, as far as its sender may see it: nobody learns here which others there are."""
    hunt = sending.hunt(sent.hunt)
    if hunt is None:
        raise NotStoredError(
            Reason.HUNT,
            _("There is no hunt number %(sent_hunt)s that you may see.") % {"sent_hunt": sent.hunt},
        )
    return hunt


def _guarded(coming: Coming) -> Callable[[], Model]:
    """The call that stores it; whatever it refuses comes out as NotStoredError, also while it is made ready."""
    try:
        write = _words(coming, lambda: ready(coming))
    except (NotStoredError, NotNeededError) as error:
        return _raising(error)
    return lambda: _words(coming, write)


def _words(coming: Coming, call: Callable[[], Any]) -> Any:
    try:
        return call()
    except (NotStoredError, NotNeededError, NotYetError, OperationalError, InterfaceError):
        raise
    except REFUSALS as error:
        raise refused(error, coming.hunt, coming.moment, coming.day_is_right) from error
    except (
        Exception
    ) as error:  # a fault of ours must not stop the records behind this one; its words may tell a place
        log.error("A %s from a phone was not taken: %s", coming.sent.kind, type(error).__name__)
        raise NotStoredError(Reason.FAULT, _(FAULT)) from error


def _raising(error: Exception) -> Callable[[], NoReturn]:
    def write() -> NoReturn:
        raise error

    return write


def take_again(row: PhoneRecord, *, at: datetime) -> Result:
    """Try a parked record once more, as its owner's, with nothing changed."""
    return _again(row, row.sent, at=at)


def take_corrected(row: PhoneRecord, data: dict[str, Any], moment: datetime, *, at: datetime) -> Result:
    """Try a parked record with what its owner corrected of its content and its time."""
    return _again(row, row.sent | {"data": row.sent["data"] | data, "at": moment.isoformat()}, at=at)


def _again(row: PhoneRecord, raw: Any, *, at: datetime) -> Result:
    settled: list[UUID] = []
    answer = _take_one(raw, Sending([raw], by=row.owner, at=at), settled, row.digest)
    _follow(settled, by=row.owner, at=at)
    return answer


def _follow(keys: Sequence[UUID], *, by: User, at: datetime) -> None:
    """What was parked because it belongs to these records."""
    for row in PhoneRecord.objects.own_of(by).parked().filter(belongs_to__in=keys, reason=Reason.BELONGS):
        take_again(row, at=at)


def try_not_started(*, by: User, at: datetime) -> None:
    """Records that came before their hunt was started, once it runs."""
    rows = PhoneRecord.objects.own_of(by).parked().filter(reason=Reason.NOT_STARTED, hunt__state="running")
    for row in rows.select_related("owner")[:MOST_AT_ONCE]:
        take_again(row, at=at)
