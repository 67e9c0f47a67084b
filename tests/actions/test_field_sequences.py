"""However records are sent, what was made is what is stored, each once.

Repeated, out of order, edited, with answers lost, servers killed half-way, from two phones.
"""

import json
from collections.abc import Callable
from typing import Any
from uuid import UUID
from zlib import crc32

import pytest
from django.db import transaction
from django.utils.timezone import now
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from field import intake
from field.models import PhoneRecord
from finds.models import Find
from hunts.models import Hole, Hunt, Incident
from people.models import User
from tests import EVERYTHING, make, make_field

pytestmark = pytest.mark.django_db


class Killed(BaseException):
    """The server is gone: nothing of the transaction that was open remains, and no answer leaves."""


class Phone:
    """A queue as the field page keeps it: a record goes when the server has said that it is stored."""

    def __init__(self, user: User, hunt: Hunt) -> None:
        self.user, self.hunt = user, hunt
        self.queue: dict[str, dict[str, Any]] = {}
        self.made: dict[str, dict[str, Any]] = {}

    def keep(self, record: dict[str, Any]) -> None:
        self.queue[record["client_id"]] = self.made[record["client_id"]] = record

    def hole(self) -> None:
        self.keep(make_field.hole(self.hunt, filled=False, position=None))

    def of_hole(self, number: int) -> None:
        """A find, a filling or a change of a hole that was made on this phone."""
        holes = [key for key, record in self.made.items() if record["kind"] == "hole"]
        if not holes:
            return self.hole()
        key = holes[number % len(holes)]
        kinds: list[Callable[[], dict[str, Any]]] = [
            lambda: make_field.find(self.hunt, key, materials=[]),
            lambda: make_field.sent("fill", self.hunt, hole=key),
            lambda: make_field.sent("incident", self.hunt, kind="other", words="A word", told="", hole=key),
        ]
        return self.keep(kinds[number % 3]())

    def edit(self, number: int) -> None:
        """Correct a hole that is not known to be stored."""
        holes = [key for key, record in self.queue.items() if record["kind"] == "hole"]
        if holes:
            key = holes[number % len(holes)]
            before = self.queue[key]
            depth_cm = before["data"]["depth_cm"] + 1
            self.keep(before | {"data": before["data"] | {"depth_cm": depth_cm}})

    def send(self, number: int, *, lost: bool = False, killed: bool = False) -> None:
        """Send some of the queue, in some order; no answer comes where it is lost or the server is killed."""
        keys = sorted(self.queue, key=lambda key: crc32(f"{key}{number}".encode()))[: 1 + number % 7]
        body = json.loads(json.dumps([self.queue[key] for key in keys]))
        try:
            answers = _served(self.user, body, killed_after=number % 4 if killed else None)
        except Killed:
            return
        for key, answer in zip(keys, answers, strict=True):
            if not lost and answer.state in {"stored", "again"}:
                self.queue.pop(key, None)


def _served(user: User, body: list[Any], killed_after: int | None) -> list[Any]:
    """As the server takes a sending; killed in the middle of the record after so many."""
    real, done = intake.settle, 0

    def settle(*args: Any, **kwargs: Any) -> Any:
        nonlocal done
        with transaction.atomic():
            row = real(*args, **kwargs)
            if done == killed_after:
                raise Killed
        done += 1
        return row

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(intake, "settle", settle)
        return intake.take(body, by=user, at=now(), device_now=now())


NUMBER = st.integers(0, 1000)
STEP = st.tuples(
    st.integers(0, 1),
    st.sampled_from(["hole", "of_hole", "of_hole", "edit", "send", "lost", "killed", "other phone"]),
    NUMBER,
)


def play(phones: list[Phone], steps: list[tuple[int, str, int]]) -> None:
    for which, step, number in steps:
        phone, other = phones[which], phones[1 - which]
        match step:
            case "hole":
                phone.hole()
            case "of_hole":
                phone.of_hole(number)
            case "edit":
                phone.edit(number)
            case "other phone":  # its file is taken in there too, and sent from both
                other.queue |= {key: row for key, row in phone.queue.items() if row["kind"] != "hole"}
            case _:
                phone.send(number, lost=step == "lost", killed=step == "killed")
    for number in range(200):
        for phone in phones:
            if phone.queue:
                phone.send(number)


@settings(
    max_examples=40 if EVERYTHING else 12,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(steps=st.lists(STEP, min_size=5, max_size=40))
def test_what_was_made_is_stored_once(steps: list[tuple[int, str, int]]) -> None:
    with transaction.atomic():
        make.club()
        member = make.person()
        hunt = make_field.running(None, member)
        phones = [Phone(member, hunt), Phone(member, hunt)]
        play(phones, steps)
        check(phones)
        transaction.set_rollback(True)


def check(phones: list[Phone]) -> None:
    made = phones[0].made | phones[1].made
    kinds = ("hole", "find", "incident")
    of = {kind: {UUID(key) for key, row in made.items() if row["kind"] == kind} for kind in kinds}
    assert [phone.queue for phone in phones] == [{}, {}]
    for model, kind in ((Hole, "hole"), (Find, "find"), (Incident, "incident")):
        keys = list(model.objects.values_list("client_id", flat=True))
        assert (len(keys), set(keys)) == (len(of[kind]), of[kind])
    holes = {str(row.client_id): row for row in Hole.objects.all()}
    assert sorted(row.number for row in holes.values()) == list(range(1, len(holes) + 1))
    for key, row in made.items():
        if row["kind"] == "hole":
            assert holes[key].depth_cm == row["data"]["depth_cm"]
        if row["kind"] == "fill":
            assert holes[row["data"]["hole"]].state == "filled"
        if row["kind"] == "find":
            assert Find.objects.get(client_id=key).hole == holes[row["data"]["hole"]]
    assert set(PhoneRecord.objects.values_list("state", flat=True)) <= {"stored"}
