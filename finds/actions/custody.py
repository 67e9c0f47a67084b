"""Moves of custody: each object has one holder at any time, and the ledger says who and since when."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from finds.actions.boxes import out_of_box
from finds.models import CustodyEntry, Find, HandOverItem
from finds.models.custody import NOBODY, Holder
from finds.states import HandOverState, ItemState
from people import audit
from people.languages import speaking
from people.models import User
from people.rights import Right, require


class CustodyError(Exception):
    """An object cannot move like this; the sentence says why and what to do."""


class NotTheHolderError(CustodyError):
    """The object is not where the hand-over says it comes from."""


def first_holder(find: Find, *, by: User, at: datetime) -> CustodyEntry:
    """The finder holds a new find. Inside the recording transaction."""
    return CustodyEntry.objects.bulk_create([_first_step(find, by=by, at=at)])[0]


def first_holders(finds: Iterable[Find]) -> list[CustodyEntry]:
    """Their finders hold new finds, as each was recorded, in one write. Inside the recording transaction."""
    return CustodyEntry.objects.bulk_create(
        _first_step(find, by=find.recorded_by, at=find.recorded_at) for find in finds
    )


def _first_step(find: Find, *, by: User, at: datetime) -> CustodyEntry:
    return CustodyEntry(
        find=find,
        step=1,
        at=at,
        recorded_by=by,
        to_holder=Holder.FINDER,
        to_name=find.finder.name,
        purpose="Found",
    )


def holder_words(last: CustodyEntry) -> str:
    """'Ida Drift (heritage officer)', or that it is lost."""
    if last.to_holder in NOBODY:
        return _("nobody: it is recorded as %(to_holder)s") % {
            "to_holder": last.get_to_holder_display().lower()
        }
    return f"{last.to_shown} ({last.get_to_holder_display().lower()})"


def locked_finds(find_ids: Iterable[int]) -> list[Find]:
    """These finds locked, always in the same order, so that two batches never wait for each other in a ring."""
    rows = Find.objects.select_for_update(of=("self",)).filter(pk__in=set(find_ids))
    return list(rows.select_related("finder").order_by("pk"))


def last_step(find: Find) -> CustodyEntry:
    """Who holds the locked `find` now. Raises CustodyError for a withdrawn record or an empty ledger."""
    if find.withdrawn_at is not None:
        raise CustodyError(
            _("The record %(find_number)s was withdrawn, so nothing is handed over under it.")
            % {"find_number": find.number}
        )
    last = find.custody.order_by("-step").first()
    if last is None:
        raise CustodyError(
            _("%(find_number)s has no custody record yet; record who holds it now first.")
            % {"find_number": find.number}
        )
    return last


def may_move(find: Find, last: CustodyEntry, to_holder: str, by: User) -> None:
    """Finders record what leaves or comes back to their own hands; all else is for those who keep custody."""
    if by.holds(Right.MOVE_CUSTODY):
        return
    if by.pk != find.finder_id:
        require(by, Right.MOVE_CUSTODY)
    if Holder.FINDER not in {last.to_holder, to_holder}:
        raise PermissionDenied(
            _(
                "%(find_number)s is with %(holder_words)s, not with you. Ask the secretary to record "
                "where it goes."
            )
            % {"find_number": find.number, "holder_words": holder_words(last)}
        )


def check_from(find: Find, last: CustodyEntry, *, after_step: int, words: str) -> None:
    """Raise unless the ledger stands where the person saw it, and a final state is left only with a reason."""
    if last.step != after_step:
        raise NotTheHolderError(
            _(
                "%(find_number)s has moved meanwhile: %(holder_words)s since %(last_at)s. Look at the "
                "ledger and record the next hand-over from there."
            )
            % {
                "find_number": find.number,
                "holder_words": holder_words(last),
                "last_at": date_format(last.at, "j M Y"),
            }
        )
    if last.is_final and not words.strip():
        raise NotTheHolderError(
            _(
                "%(find_number)s is with %(holder_words)s, which was to be its last place. Say how it "
                "came out of there, for instance where it was found again."
            )
            % {"find_number": find.number, "holder_words": holder_words(last)}
        )


def append(
    find: Find, last: CustodyEntry, *, by: User | None, at: datetime, via: str = "", **fields: Any
) -> CustodyEntry:
    """Write the next step of the locked `find`, end its other waiting hand-overs, and take it out of its box."""
    entry = CustodyEntry.objects.create(
        find=find,
        step=last.step + 1,
        at=at,
        recorded_by=by,
        from_holder=last.to_holder,
        from_name=last.to_shown,
        **fields,
    )
    leave_waiting(find, by=by, at=at, why=_moved(entry.purpose), keep=entry.hand_over_id)
    out_of_box(find, by=by, at=at)
    audit.record("custody.move", find, by=by, at=at, via=via, to=entry.to_holder)
    return entry


def _moved(purpose: str) -> str:
    with speaking(""):  # a word of the record
        return _("It moved meanwhile: %(purpose)s.") % {"purpose": purpose}


def leave_waiting(find: Find, *, by: User | None, at: datetime, why: str, keep: int | None = None) -> None:
    """Take the locked `find` out of the hand-over in which it waits; one left without objects is cancelled."""
    waiting = HandOverItem.objects.waiting().filter(find=find).exclude(hand_over=keep)
    for item in waiting.select_related("hand_over"):
        item.state, item.why = ItemState.OUT, why[:300]
        item.save(update_fields=["state", "why"])
        row = item.hand_over
        if not row.items.waiting().exists() and row.state == HandOverState.PROPOSED:
            row.state, row.ended_at, row.ended_by = HandOverState.CANCELLED, at, by
            row.ended_why = why[:500]
            row.save(update_fields=["state", "ended_at", "ended_by", "ended_why"])
            audit.record("hand_over.cancel", row, by=by, at=at)


@transaction.atomic
def hand_over(
    find_id: int,
    *,
    by: User,
    at: datetime,
    after_step: int,
    to_holder: str,
    to_name: str,
    purpose: str,
    due_back: date | None = None,
    condition: str = "",
    words: str = "",
    evidence: str = "",
) -> CustodyEntry:
    """Record a hand-over that took place, from the present holder. `after_step` is the step the person saw.

    Raises NotTheHolderError when another was recorded meanwhile or the object is in a final state and `words` do not
    say why it leaves it, naming where it is; CustodyError for a loss, which has an action of its own.
    """
    if to_holder in NOBODY:
        raise CustodyError(_("Record a loss or reburial as such, with what happened."))
    (find,) = locked_finds([find_id])
    last = last_step(find)
    may_move(find, last, to_holder, by)
    check_from(find, last, after_step=after_step, words=words)
    said: dict[str, Any] = {"to_holder": to_holder, "to_name": to_name, "purpose": purpose}
    said |= {"due_back": due_back, "condition": condition, "words": words, "evidence": evidence}
    return append(find, last, by=by, at=at, **said)


@transaction.atomic
def record_loss(
    find_id: int,
    *,
    by: User,
    at: datetime,
    after_step: int,
    what: str,
    happened_on: date,
    words: str,
    reported_to: str = "",
) -> CustodyEntry:
    """Record that an object is lost or was reburied: who had it stays in the ledger as who it went from.

    Raises CustodyError without the circumstances, or when it is lost already; NotTheHolderError as `hand_over` does.
    """
    if what not in NOBODY or not words.strip():
        raise CustodyError(_("Say whether it is lost or reburied, and what happened."))
    (find,) = locked_finds([find_id])
    last = last_step(find)
    if by.pk != find.finder_id:
        require(by, Right.MOVE_CUSTODY)
    if last.to_holder in NOBODY:
        raise CustodyError(
            _("%(find_number)s is with %(holder_words)s already.")
            % {"find_number": find.number, "holder_words": holder_words(last)}
        )
    check_from(find, last, after_step=after_step, words=words)
    label = Holder(what).label
    who = _("the landholder") if last.to_holder == Holder.LANDHOLDER else last.to_name  # names no landholder
    said: dict[str, Any] = {
        "to_holder": what,
        "to_name": (_("%(label)s by %(who)s") % {"label": label, "who": who})[:160],
    }
    said |= {"happened_on": happened_on, "words": words, "reported_to": reported_to}
    return append(find, last, by=by, at=at, purpose=label, **said)
