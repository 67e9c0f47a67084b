"""Two people at once: places, hole numbers and closing hold under real threads."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import date, time, timedelta
from threading import Barrier
from typing import Any
from uuid import uuid4

import pytest
from django.db import connections
from django.utils.timezone import now

from hunts import actions
from hunts.errors import AlreadyClosedError
from hunts.models import Hole, Hunt, SignUp, Track
from hunts.track_intake import prepare_gpx
from people.models import User
from people.rights import Role
from tests import ground, make

pytestmark = pytest.mark.django_db(transaction=True)


def together(*jobs: Callable[[], Any]) -> list[Any]:
    """Run the jobs in as many threads, started at the same moment; what each returned or raised."""
    gate = Barrier(len(jobs))

    def run(job: Callable[[], Any]) -> Any:
        gate.wait(timeout=60)
        try:
            return job()
        except Exception as error:
            return error
        finally:
            connections.close_all()

    with ThreadPoolExecutor(len(jobs)) as pool:
        return list(pool.map(run, jobs))


def test_the_last_place_goes_to_one_of_two() -> None:
    hunt, people = make.hunt(capacity=1), [make.person() for _ in range(4)]
    rows = together(*(lambda p=p: actions.sign_up(hunt.pk, by=p, at=now()) for p in people))
    assert sorted(row.state for row in rows) == ["in", "waiting", "waiting", "waiting"]


def test_two_withdrawals_promote_two_and_no_more() -> None:
    hunt = make.hunt(capacity=2)
    going = [make.sign_up(hunt, make.person()).user for _ in range(2)]
    for number in range(3):
        make.sign_up(hunt, make.person(), state="waiting", asked_at=now() - timedelta(minutes=number))
    together(*(lambda p=p: actions.withdraw(hunt.pk, by=p, at=now()) for p in going))
    assert SignUp.objects.standing().filter(hunt=hunt).count() == 2
    assert SignUp.objects.waiting().filter(hunt=hunt).count() == 1


def test_one_form_sent_twice_at_once_is_one_sign_up() -> None:
    hunt, person = make.hunt(), make.person()
    together(*[lambda: actions.sign_up(hunt.pk, by=person, at=now())] * 3)
    assert SignUp.objects.filter(hunt=hunt, user=person).count() == 1


def test_one_past_outing_sent_twice_at_once_is_one() -> None:
    make.club()
    site, secretary, key = make.site(), make.person(Role.SECRETARY), uuid4()
    said = {"on": date(2014, 10, 5), "title": "Winter stubble", "leader": secretary, "past_basis": "word"}
    said |= {"past_why": "notebook of 2014"}
    rows = together(
        *[lambda: actions.enter_past_outing([site], [], by=secretary, at=now(), client_id=key, **said)] * 3
    )
    assert set(rows) == {Hunt.objects.get()}


def _log(hunt: Hunt, person: User, once: Any = None) -> Hole:
    place = {"lon": 0.1512, "lat": 53.6007, "accuracy_m": 5.0}
    fields = {
        "site": hunt.sites.all()[0],
        "digger": person,
        "dug_at": now(),
        "depth_cm": 9,
        "outcome": "iron",
    }
    return actions.log_hole(hunt.pk, by=person, at=now(), client_id=once or uuid4(), **fields, **place)


def test_holes_logged_at_once_get_numbers_of_their_own() -> None:
    hunt = make.hunt(state="running")
    people = [make.sign_up(hunt, make.person()).user for _ in range(5)]
    rows = together(*(lambda p=p: _log(hunt, p) for p in people))
    assert sorted(row.number for row in rows) == [1, 2, 3, 4, 5]


def test_one_hole_sent_twice_at_once_is_one_hole() -> None:
    hunt = make.hunt(state="running")
    person, once = make.sign_up(hunt, make.person()).user, uuid4()
    together(*[lambda: _log(hunt, person, once)] * 3)
    assert Hole.objects.count() == 1


def test_two_leaders_closing_at_once_one_wins_and_the_other_is_told() -> None:
    hunt, leaders = make.hunt(state="running"), [make.person(Role.LEADER) for _ in range(2)]
    ends = together(*(lambda p=p: actions.close_hunt(hunt.pk, by=p, at=now(), counted=0) for p in leaders))
    assert sorted(type(end).__name__ for end in ends) == ["AlreadyClosedError", "Hunt"]
    told = next(end for end in ends if isinstance(end, AlreadyClosedError))
    assert "already closed by" in str(told)


def test_plans_made_at_once_get_codes_of_their_own() -> None:
    make.club()
    site = make.site()
    permission, leader = make.permission(site), make.person(Role.LEADER)
    fields = {"title": "x", "on": make.days(9), "starts_at": time(9), "ends_at": time(16), "capacity": 4}

    def plan() -> Hunt:
        return actions.plan_hunt(
            permission, [site], by=leader, at=now(), client_id=uuid4(), leader=leader, **fields
        )

    codes = {hunt.code for hunt in together(plan, plan, plan)}
    assert len(codes) == 3


def test_one_walk_given_three_times_at_once_is_one_track() -> None:
    hunt = make.hunt(state="running", started_at=now())
    person = make.sign_up(hunt, make.person()).user
    file = ground.gpx(ground.serpentine(), start=ground.morning(hunt))
    walk = prepare_gpx(hunt, file, swath_m=1.5, accuracy_m=5)
    rows = together(*[lambda: actions.add_track(hunt.pk, walk, by=person, at=now(), client_id=uuid4())] * 3)
    assert sorted(row.outcome for row in rows) == ["known", "known", "new"]
    assert Track.objects.count() == 1
