"""Boxes with their readings, a hand-over that waits for the receiver, one that was signed, and a loss."""

from collections import Counter
from datetime import datetime, timedelta
from random import Random
from typing import Any
from uuid import UUID

from django.utils.timezone import localdate

from finds import actions
from finds.hand_over_text import digest_of, items_of, text_of
from finds.models import CustodyEntry, Find, HandOver
from finds.models.custody import Holder
from finds.models.hand_over import Side
from people.models import User

BOXES = (
    ("Iron 1", "Hut, top shelf", "iron", True, ((40, 9, True), (12, 9, False))),
    ("Copper alloy 1", "Hut, top shelf", "copper", True, ((75, 30, True), (45, 37, False))),
    ("Silver and lead", "Hut, cash box", "dry", False, ()),
)
"""Name, place, kind, gel, and readings as (days ago, per cent, gel dried)."""


def make_custody(secretary: User, at: datetime, rng: Random) -> None:
    """Needs the finds and hand-backs of the season: what is used here is what its finders still hold."""
    held = CustodyEntry.objects.current().filter(to_holder=Holder.FINDER).values("find")
    old = {"locked": False, "withdrawn_at": None, "found_at__lt": at - timedelta(days=30)}
    finds = list(Find.objects.filter(pk__in=held, **old).order_by("number"))
    _boxes(secretary, [find.number for find in finds[:14]], at, rng)
    finder, _ = Counter(find.finder_id for find in finds[14:]).most_common(1)[0]
    by_finder = [find for find in finds[14:] if find.finder_id == finder][:4]
    waits = _propose(by_finder[:2], secretary, at - timedelta(days=16), rng, back=45)
    signed = _propose(by_finder[2:], secretary, at - timedelta(days=9), rng, back=60)
    for row, side, name in (
        (waits, Side.GIVER, waits.from_name),
        (signed, Side.GIVER, signed.from_name),
        (signed, Side.RECEIVER, "Ida Drift"),
    ):
        _sign(row, side, name, secretary, row.proposed_at + timedelta(hours=1), rng)
    lost = next(find for find in reversed(finds) if find not in by_finder)
    actions.record_loss(
        lost.pk,
        by=secretary,
        at=at - timedelta(days=20),
        after_step=lost.custody.count(),
        what=Holder.LOST,
        happened_on=localdate(at) - timedelta(days=21),
        words="Shown at the tea tent and not in the bag when the table was cleared.",
        reported_to="the landholder by telephone the same evening",
    )


def _uuid(rng: Random) -> UUID:
    return UUID(int=rng.getrandbits(128), version=4)


def _boxes(by: User, numbers: list[str], at: datetime, rng: Random) -> None:
    for place, (name, kept_at, kind, has_gel, readings) in enumerate(BOXES):
        made = at - timedelta(days=200)
        box = actions.save_box(
            None, by=by, at=made, client_id=_uuid(rng), name=name, kept_at=kept_at, kind=kind, has_gel=has_gel
        )
        for days, percent, dried in readings:
            then = at - timedelta(days=days)
            said: dict[str, Any] = {"on": localdate(then), "humidity_percent": percent, "gel_changed": dried}
            actions.read_box(box.pk, by=by, at=then, client_id=_uuid(rng), **said)
        actions.into_box(box.pk, numbers[place * 4 : place * 4 + 4], by=by, at=at - timedelta(days=5))


def _propose(finds: list[Find], by: User, at: datetime, rng: Random, *, back: int) -> HandOver:
    return actions.propose_hand_over(
        [find.pk for find in finds],
        by=by,
        at=at,
        client_id=_uuid(rng),
        to_holder=Holder.OFFICER,
        to_name="Ida Drift, finds officer",
        purpose="recording",
        conditions={find.pk: "as found, earth on it" for find in finds},
        capacity="for owner",
        terms="No cleaning beyond what recording needs.",
        location="Recording room, shelf 2",
        due_back=localdate(at) + timedelta(days=back),
        uncollected="The club is told; nothing is given away without the owner's word in writing.",
    )


def _sign(row: HandOver, side: str, name: str, by: User, at: datetime, rng: Random) -> None:
    actions.sign_hand_over(
        row.pk,
        side,
        by=by,
        via="",
        at=at,
        client_id=_uuid(rng),
        name=name,
        read_sha256=digest_of(text_of(row, items_of(row), side)),
        drawn=[],
    )
