"""Guests and juniors: counted as heads, allowed by the terms, never left alone."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction
from django.utils.timezone import now

from hunts import actions
from hunts.errors import (
    GuestError,
    HeadCountError,
    NotEligibleError,
    PlacesError,
    RollCallError,
    SignUpError,
    StillOutError,
)
from hunts.models import Guest, Hunt, SignUp
from people.models import AuditEntry, User
from tests import make


@pytest.fixture
def hunt(leader: User, member: User) -> Hunt:
    """Open today with four places: the leader's, the member's and two free."""
    site = make.site()
    permission = make.permission(site, guests_allowed=True, juniors_allowed=True, minimum_age=None)
    made = make.hunt(site, leader=leader, permission_=permission, capacity=4)
    make.sign_up(made, leader)
    make.sign_up(made, member)
    return made


def place(hunt: Hunt, user: User) -> SignUp:
    return SignUp.objects.get(hunt=hunt, user=user)


def bring(hunt: Hunt, host: User, *, by: User | None = None, **changes: Any) -> Guest:
    values: dict[str, Any] = {
        "name": "Gil Wrack",
        "insurer": "Humber Mutual",
        "insured_until": make.days(30),
        "emergency_contact": "Home, 01632 960500",
        "client_id": uuid4(),
        "host": place(hunt, host),
    }
    return actions.bring_guest(hunt.pk, by=by or host, at=now(), **(values | changes))


def junior(hunt: Hunt, host: User, **changes: Any) -> Guest:
    values = {"name": "Jo Wrack", "is_junior": True, "age": 12, "responsible": place(hunt, host)}
    return bring(hunt, host, **(values | changes))


def test_a_guest_takes_a_place(hunt: Hunt, member: User) -> None:
    bring(hunt, member)
    assert actions.sign_up(hunt.pk, by=make.person(), at=now()).state == "in"
    assert actions.sign_up(hunt.pk, by=make.person(), at=now()).state == "waiting"
    with pytest.raises(GuestError, match="All 4 places"):
        bring(hunt, member)


def test_the_same_form_twice_brings_one_guest_and_names_nobody_in_the_trail(hunt: Hunt, member: User) -> None:
    once = uuid4()
    assert bring(hunt, member, client_id=once) == bring(hunt, member, client_id=once)
    line = AuditEntry.objects.get(verb="guest.bring")
    assert "Gil" not in f"{line.label} {line.changes}"


@pytest.mark.parametrize(
    ("terms", "guest", "words"),
    [
        ({"guests_allowed": False}, {}, "allow no guests"),
        ({"juniors_allowed": False}, {"is_junior": True, "age": 12}, "allow no juniors"),
        ({"minimum_age": 16}, {"is_junior": True, "age": 12}, "16 years at least"),
    ],
)
def test_the_terms_decide_who_may_be_brought(
    hunt: Hunt, member: User, terms: dict[str, Any], guest: dict[str, Any], words: str
) -> None:
    type(hunt.permission).objects.filter(pk=hunt.permission_id).update(**terms)
    with pytest.raises(NotEligibleError, match=words), transaction.atomic():
        bring(hunt, member, responsible=place(hunt, member), **guest)
    assert not Guest.objects.exists()


def test_a_card_that_has_ended_is_no_card(hunt: Hunt, member: User) -> None:
    with pytest.raises(NotEligibleError, match="insurance of Gil Wrack ended"):
        bring(hunt, member, insured_until=make.days(-1))


def test_a_host_without_a_place_brings_nobody(hunt: Hunt) -> None:
    waiting = make.person()
    make.sign_up(hunt, waiting, state="waiting")
    with pytest.raises(GuestError, match="holds no place"):
        bring(hunt, waiting)


def test_a_member_cannot_bring_a_guest_in_another_members_name(hunt: Hunt, member: User) -> None:
    with pytest.raises(PermissionDenied):
        bring(hunt, member, by=make.person())


def test_a_junior_needs_an_adult_who_comes(hunt: Hunt, member: User) -> None:
    other = make.sign_up(make.hunt(), make.person())
    for adult in (None, other):
        with pytest.raises(GuestError, match="answers for Jo Wrack"), transaction.atomic():
            junior(hunt, member, responsible=adult)
    with pytest.raises(IntegrityError), transaction.atomic():
        Guest.objects.create(
            hunt=hunt, host=place(hunt, member), name="x", is_junior=True, insured_until=make.days(1), added_at=now()
        )  # fmt: skip


def test_guests_go_with_their_host_and_the_waiting_move_up(hunt: Hunt, member: User) -> None:
    bring(hunt, member)
    make.sign_up(hunt, make.person())
    first, second = (make.sign_up(hunt, make.person(), state="waiting") for _ in range(2))
    actions.withdraw(hunt.pk, by=member, at=now())
    assert Guest.objects.get().withdrawn_at is not None
    assert {SignUp.objects.get(pk=row.pk).state for row in (first, second)} == {"in"}


def test_an_adult_whom_anothers_junior_counts_on_stays(hunt: Hunt, member: User, leader: User) -> None:
    junior(hunt, leader, responsible=place(hunt, member))
    with pytest.raises(SignUpError, match="answers for Jo Wrack"):
        actions.withdraw(hunt.pk, by=member, at=now())
    assert place(hunt, member).state == "in"


def test_places_cannot_shrink_below_members_and_guests(hunt: Hunt, member: User, leader: User) -> None:
    bring(hunt, member)
    with pytest.raises(PlacesError, match="3 people hold one"):
        actions.change_hunt(hunt.pk, by=leader, at=now(), capacity=2)


@pytest.fixture
def running(hunt: Hunt, member: User, leader: User) -> Guest:
    made = junior(hunt, member)
    Hunt.objects.filter(pk=hunt.pk).update(state="running", started_at=now())
    return made


def test_a_junior_comes_in_after_and_goes_out_before_their_adult(
    running: Guest, hunt: Hunt, member: User, leader: User
) -> None:
    with pytest.raises(RollCallError, match="sign Mo Samphire in first"), transaction.atomic():
        actions.sign_in_guest(running.pk, by=leader, at=now())
    actions.sign_in(place(hunt, member).pk, by=leader, at=now())
    actions.sign_in_guest(running.pk, by=leader, at=now())
    with pytest.raises(RollCallError, match="Sign the junior out first"), transaction.atomic():
        actions.sign_out(place(hunt, member).pk, by=leader, at=now())
    actions.sign_out_guest(running.pk, by=leader, at=now())
    assert actions.sign_out(place(hunt, member).pk, by=leader, at=now()).signed_out_at is not None


def test_closing_counts_guests_and_names_them_when_out(
    running: Guest, hunt: Hunt, member: User, leader: User
) -> None:
    actions.sign_in(place(hunt, member).pk, by=leader, at=now())
    actions.sign_in_guest(running.pk, by=leader, at=now())
    with pytest.raises(StillOutError, match="Jo Wrack, Mo Samphire are still out"), transaction.atomic():
        actions.close_hunt(hunt.pk, by=leader, at=now(), counted=2)
    actions.sign_out_guest(running.pk, by=leader, at=now())
    actions.sign_out(place(hunt, member).pk, by=leader, at=now())
    with pytest.raises(HeadCountError), transaction.atomic():
        actions.close_hunt(hunt.pk, by=leader, at=now(), counted=1)
    assert actions.close_hunt(hunt.pk, by=leader, at=now(), counted=2).state == "closed"


def test_a_guest_on_the_roll_call_cannot_be_taken_off(
    running: Guest, hunt: Hunt, member: User, leader: User
) -> None:
    actions.sign_in(place(hunt, member).pk, by=leader, at=now() - timedelta(minutes=5))
    actions.sign_in_guest(running.pk, by=leader, at=now())
    with pytest.raises(GuestError, match="roll call"):
        actions.withdraw_guest(running.pk, by=member, at=now())


def test_members_run_no_roll_call(running: Guest, member: User) -> None:
    with pytest.raises(PermissionDenied):
        actions.sign_in_guest(running.pk, by=member, at=now())
