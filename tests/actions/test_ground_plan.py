"""The sweep of a hunt is planned once, and what was put in is kept when it closes."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction
from django.utils.timezone import now

from hunts import actions
from hunts.errors import HuntError
from hunts.models import BlankGround, Hunt, HuntPlan
from hunts.plan_page import plan_of, sweep_of
from people.models import AuditEntry, User
from permissions.models import NoGoArea
from tests import make

EAST_HALF = {
    "type": "Polygon",
    "coordinates": [
        [[0.1515, 53.5999], [0.1531, 53.5999], [0.1531, 53.6019], [0.1515, 53.6019], [0.1515, 53.5999]]
    ],
}


@pytest.fixture
def hunt(leader: User) -> Hunt:
    return make.hunt(leader=leader)


def test_a_plan_is_kept_once_a_hunt(hunt: Hunt, leader: User) -> None:
    first = actions.set_ground_plan(hunt.pk, by=leader, at=now(), coil_m=0.23, people=8)
    second = actions.set_ground_plan(hunt.pk, by=leader, at=now(), people=9)
    assert first.pk == second.pk
    assert (second.coil_m, second.people) == (0.23, 9)
    assert AuditEntry.objects.filter(verb="ground_plan.set").count() == 2


def test_the_same_plan_sent_twice_changes_nothing(hunt: Hunt, leader: User) -> None:
    for _ in range(2):
        actions.set_ground_plan(hunt.pk, by=leader, at=now(), people=8)
    assert AuditEntry.objects.filter(verb="ground_plan.set").count() == 1


def test_members_do_not_plan(hunt: Hunt, member: User) -> None:
    with pytest.raises(PermissionDenied):
        actions.set_ground_plan(hunt.pk, by=member, at=now(), people=8)
    assert not HuntPlan.objects.exists()


@pytest.mark.parametrize("state", ["closed", "called off"])
def test_a_plan_stays_once_the_hunt_is_over(leader: User, state: str) -> None:
    over = make.hunt(leader=leader, state=state)
    with pytest.raises(HuntError, match=state):
        actions.set_ground_plan(over.pk, by=leader, at=now(), people=8)


def test_an_unsaved_plan_takes_people_and_hours_of_the_day(hunt: Hunt, member: User, leader: User) -> None:
    make.sign_up(hunt, member)
    make.sign_up(hunt, leader)
    plan = plan_of(hunt)
    assert plan.pk is None
    assert (plan.people, plan.hours) == (2, 6)  # 9 to 16 less an hour


def test_one_visit_cannot_do_the_field(hunt: Hunt) -> None:
    """E1 of the worked examples: 460.9 m² an hour sweeping; 20 acres of such ground are never done in a day."""
    plan = HuntPlan(hunt=hunt, swing_m_s=0.9144, targets_per_ha=800, people=20, hours=5)
    answer = sweep_of(plan, 80_937)
    assert round(answer.gross_m2_h, 1) == 460.9
    assert "One visit cannot do this field" in answer.sentence


@pytest.mark.parametrize("hours", [1.0, 2.5])
def test_blank_ground_is_counted_on_closing(leader: User, member: User, hours: float) -> None:
    hunt = make.hunt(leader=leader, state="running")
    NoGoArea.objects.create(site=hunt.sites.get(), reason="badger setts", geometry=EAST_HALF)
    at = now()
    for person in (leader, member):
        make.attendance(
            hunt,
            person,
            signed_in_at=at - timedelta(hours=hours),
            signed_out_at=at,
            signed_out_by=leader,
        )
    actions.close_hunt(hunt.pk, by=leader, at=at, counted=2)
    kept = BlankGround.objects.get(hunt=hunt)
    assert (kept.people, kept.hours) == (2, 2 * hours)
    # Half of 0.003° by 0.0018° at 53.6°: 198.6 m by 200.4 m on the WGS84 ellipsoid (geodesic area, GeographicLib).
    assert kept.searchable_m2 == pytest.approx(39_790 / 2, rel=0.005)


def test_a_hunt_that_cannot_close_keeps_no_blank_ground(leader: User, member: User) -> None:
    hunt = make.hunt(leader=leader, state="running")
    make.attendance(hunt, member)
    with pytest.raises(HuntError):
        actions.close_hunt(hunt.pk, by=leader, at=now(), counted=1)
    assert not BlankGround.objects.exists()


@pytest.mark.parametrize("wrong", [{"coil_m": 0}, {"coil_m": -0.2}, {"overlap": 1}, {"hours": 0}])
def test_the_database_refuses_a_sweep_that_cannot_be(
    hunt: Hunt, leader: User, wrong: dict[str, float]
) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        actions.set_ground_plan(hunt.pk, by=leader, at=now(), **wrong)
    assert not HuntPlan.objects.exists()
