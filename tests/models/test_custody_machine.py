"""No sequence of hand-overs leaves an object with two holders or none: Hypothesis plays the club on the database."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.timezone import localdate, now
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from finds import actions
from finds.actions import CustodyError
from finds.actions.custody import first_holders
from finds.hand_over_text import digest_of, items_of, text_of
from finds.models import BoxMove, CustodyEntry, Find, HandOver, HandOverItem
from finds.models.custody import NOBODY, OWN, Holder
from finds.models.hand_over import Side
from finds.states import HandOverState, ItemState
from people.rights import Role
from tests import EVERYTHING, make

pytestmark = pytest.mark.django_db

OBJECTS = 4
which = st.integers(0, OBJECTS - 1)
several = st.lists(which, min_size=1, max_size=OBJECTS, unique=True)
people = st.sampled_from(
    [("club", "Finds cabinet"), ("officer", "Ida Drift"), ("landholder", "Ada Warp"), ("museum", "Museum")]
)
words = st.sampled_from(["", "found behind the shed"])


class Custody(RuleBasedStateMachine):
    """`holders` is what the ledger ought to say, kept by hand beside it."""

    def __init__(self) -> None:
        super().__init__()
        self.scope = transaction.atomic()
        self.scope.__enter__()

    def teardown(self) -> None:
        transaction.set_rollback(True)
        self.scope.__exit__(None, None, None)

    @initialize()
    def begin(self) -> None:
        self.at = now()
        make.club()
        self.keepers = [make.person(Role.SECRETARY), make.person(Role.COMMITTEE)]
        self.finders = [make.person(name="Mo Samphire"), make.person(name="Flo Cockle")]
        hunt = make.hunt()
        self.finds = [make.find(hunt, self.finders[n % 2]) for n in range(OBJECTS)]
        first_holders(self.finds)
        self.holders = [(Holder.FINDER.value, find.finder.name) for find in self.finds]
        self.steps = [1] * OBJECTS
        self.withdrawn: set[int] = set()
        self.box = actions.save_box(
            None,
            by=self.keepers[0],
            at=self.at,
            client_id=uuid4(),
            name=f"Box {uuid4().hex[:8]}",
            kept_at="hut",
            kind="dry",
        )

    def tried(self, action: Callable[[], Any]) -> Any:
        """The action's answer, or None when it was refused: then nothing may have changed."""
        before = list(CustodyEntry.objects.values_list("pk", flat=True))
        try:
            return action()
        except (CustodyError, PermissionDenied, actions.BoxError):
            assert list(CustodyEntry.objects.values_list("pk", flat=True)) == before
            return None

    def moved(self, number: int, holder: tuple[str, str]) -> None:
        self.holders[number] = holder
        self.steps[number] += 1

    @rule(number=which, to=people, by=st.integers(0, 3), seen=st.integers(-1, 0), why=words)
    def record(self, number: int, to: tuple[str, str], by: int, seen: int, why: str) -> None:
        """Written down directly, sometimes from an old page, sometimes by a finder."""
        actor, was = [*self.keepers, *self.finders][by], self.holders[number]
        after = self.steps[number] + seen
        said = {"to_holder": to[0], "to_name": to[1], "purpose": "recording", "words": why}
        entry = self.tried(
            lambda: actions.hand_over(self.finds[number].pk, by=actor, at=self.at, after_step=after, **said)
        )
        if entry is None:
            return
        assert seen == 0
        assert number not in self.withdrawn
        assert was[0] not in NOBODY or why
        assert by < 2 or (actor == self.finds[number].finder and was[0] == Holder.FINDER)
        self.moved(number, to)

    @rule(numbers=several, to=people, by=st.integers(0, 1), why=words)
    def propose(self, numbers: list[int], to: tuple[str, str], by: int, why: str) -> None:
        ids = [self.finds[number].pk for number in numbers]
        waiting = set(HandOverItem.objects.waiting().values_list("find", flat=True))
        row = self.tried(
            lambda: actions.propose_hand_over(
                ids,
                by=self.keepers[by],
                at=self.at,
                client_id=uuid4(),
                to_holder=to[0],
                to_name=to[1],
                purpose="recording",
                why=why,
                capacity="keeper",
            )
        )
        if row is not None:
            assert len({self.holders[number] for number in numbers}) == 1
            assert not waiting & set(ids)
            assert not self.withdrawn & set(numbers)

    def some(self, pick: int) -> HandOver | None:
        rows = list(HandOver.objects.order_by("pk"))
        return rows[pick % len(rows)] if rows else None

    @rule(
        pick=st.integers(0, 7),
        side=st.sampled_from(Side.values),
        stale=st.booleans(),
        lacks=st.integers(0, 2),
    )
    def sign(self, pick: int, side: str, stale: bool, lacks: int) -> None:
        """Either side signs by the address; sometimes an old text, sometimes not everything was there."""
        row = self.some(pick)
        if row is None:
            return
        items, state = items_of(row), row.state
        waiting = [item for item in items if item.state == ItemState.WAITING]
        missing = {item.pk: "not in the bag" for item in waiting[:lacks]}
        read = "0" * 64 if stale else digest_of(text_of(row, items, side))
        signed_before = row.signatures.filter(side=side).exists()
        signature = self.tried(
            lambda: actions.sign_hand_over(
                row.pk,
                side,
                by=None,
                via="custody link",
                at=self.at,
                client_id=uuid4(),
                name="Ida Drift",
                read_sha256=read,
                drawn=[],
                missing=missing,
            )
        )
        if signature is None or signed_before:
            return
        assert state == HandOverState.PROPOSED
        assert not stale
        if side == Side.RECEIVER:
            self.went(row, [item for item in waiting if item.pk not in missing])

    def went(self, row: HandOver, items: list[HandOverItem]) -> None:
        assert items
        for item in items:
            number = [find.pk for find in self.finds].index(item.find_id)
            assert item.after_step == self.steps[number], "accepted after another move"
            self.moved(number, (row.to_holder, row.to_name))

    @rule(pick=st.integers(0, 7), by=st.integers(0, 1), evidence=st.sampled_from(["", "receipt of 3 May"]))
    def complete(self, pick: int, by: int, evidence: str) -> None:
        row = self.some(pick)
        if row is None:
            return
        waiting = list(row.items.waiting().order_by("pk"))
        done = self.tried(
            lambda: actions.complete_hand_over(row.pk, by=self.keepers[by], at=self.at, evidence=evidence)
        )
        if done is not None:
            assert evidence
            self.went(row, waiting)

    @rule(pick=st.integers(0, 7), refuse=st.booleans())
    def turn_down(self, pick: int, refuse: bool) -> None:
        row = self.some(pick)
        if row is None:
            return
        if refuse:
            self.tried(
                lambda: actions.refuse_hand_over(row.pk, by=None, via="link", at=self.at, why="wrong day")
            )
        else:
            self.tried(
                lambda: actions.cancel_hand_over(row.pk, by=self.keepers[0], at=self.at, why="wrong day")
            )

    @rule(number=which, what=st.sampled_from(NOBODY), why=words)
    def lose(self, number: int, what: str, why: str) -> None:
        was = self.holders[number]
        entry = self.tried(
            lambda: actions.record_loss(
                self.finds[number].pk,
                by=self.keepers[0],
                at=self.at,
                after_step=self.steps[number],
                what=what,
                happened_on=localdate(self.at) - timedelta(1),
                words=why,
            )
        )
        if entry is not None:
            assert why
            assert was[0] not in NOBODY
            self.moved(number, (what, entry.to_name))

    @rule(number=which)
    def into_box(self, number: int) -> None:
        put = self.tried(
            lambda: actions.into_box(self.box.pk, [self.finds[number].number], by=self.keepers[0], at=self.at)
        )
        if put:
            assert self.holders[number][0] in OWN

    @precondition(lambda self: len(self.withdrawn) < OBJECTS - 1)
    @rule(number=which)
    def withdraw(self, number: int) -> None:
        actions.withdraw_find(self.finds[number].pk, by=self.keepers[0], at=self.at, why="written twice")
        self.withdrawn.add(number)

    @invariant()
    def each_object_has_exactly_one_holder(self) -> None:
        rows = CustodyEntry.objects.filter(find__in=self.finds).order_by("find", "step")
        ledger: dict[int, list[CustodyEntry]] = {find.pk: [] for find in self.finds}
        for entry in rows:
            ledger[entry.find_id].append(entry)
        for find, holder, step in zip(self.finds, self.holders, self.steps, strict=True):
            steps = [entry.step for entry in ledger[find.pk]]
            assert steps == list(range(1, step + 1))
            assert (ledger[find.pk][-1].to_holder, ledger[find.pk][-1].to_name) == holder
            for earlier, later in zip(ledger[find.pk], ledger[find.pk][1:], strict=False):
                assert (later.from_holder, later.from_name) == (earlier.to_holder, earlier.to_name)
        current = CustodyEntry.objects.current().filter(find__in=self.finds)
        assert sorted(entry.find_id for entry in current) == sorted(find.pk for find in self.finds)

    @invariant()
    def nothing_waits_for_what_has_moved(self) -> None:
        for item in HandOverItem.objects.waiting().select_related("hand_over", "find"):
            assert item.hand_over.state == HandOverState.PROPOSED
            assert item.find.withdrawn_at is None
            assert item.after_step == item.find.custody.count()
        for row in HandOver.objects.filter(state=HandOverState.PROPOSED):
            assert row.items.waiting().exists()

    @invariant()
    def a_box_holds_only_what_the_club_or_its_finder_has(self) -> None:
        inside = BoxMove.objects.current().values("find")
        held = CustodyEntry.objects.current().filter(find__in=Find.objects.filter(pk__in=inside))
        assert {entry.to_holder for entry in held} <= set(OWN)


def test_no_sequence_of_hand_overs_leaves_an_object_with_two_holders_or_none() -> None:
    run_state_machine_as_test(
        Custody,
        settings=settings(
            max_examples=120 if EVERYTHING else 4,
            stateful_step_count=20,
            deadline=None,
            derandomize=True,
            suppress_health_check=list(HealthCheck),
        ),
    )
