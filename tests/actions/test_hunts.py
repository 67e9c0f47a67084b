"""Planning, opening, calling off: the gate is asked each time and what it said is kept."""

from datetime import time, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core import mail
from django.core.exceptions import PermissionDenied
from django.utils.timezone import localdate, now

from hunts import actions
from hunts.actions.plan import keep_gate
from hunts.errors import GateAskError, GateShutError, HuntError, NotEligibleError, PlacesError, SignUpError
from hunts.gate import gate_now, kept
from hunts.models import Hunt, SignUp
from people.models import AuditEntry, Insurance, User
from permissions.models import FieldState, Permission
from tests import make
from web.states import IllegalMoveError


def plan(leader: User, *sites: Any, permission: Permission | None = None, **fields: Any) -> Hunt:
    sites = sites or (make.site(),)
    values: dict[str, Any] = {
        "title": "Long Acre",
        "on": make.days(10),
        "starts_at": time(9),
        "ends_at": time(16),
        "capacity": 10,
        "leader": leader,
        "client_id": uuid4(),
    }
    permission = permission or make.permission(*sites)
    return actions.plan_hunt(permission, sites, by=leader, at=now(), **(values | fields))


def shut(hunt: Hunt) -> None:
    Permission.objects.filter(pk=hunt.permission_id).update(state="paused", paused_why="lambing")


def ask_first(hunt: Hunt) -> None:
    site = hunt.sites.all()[0]
    FieldState.objects.create(site=site, on=localdate(), crop="stubble", effect="ask", said_by="tenant")


def test_planned_hunt_keeps_the_boundary_of_the_day_and_the_gate(leader: User) -> None:
    site = make.site()
    hunt = plan(leader, site)
    assert hunt.state == "planned"
    assert hunt.hunt_sites.get().boundary == site.boundaries.all()[0]
    assert hunt.gate_answer["answer"] == "open"
    assert [row["site"] for row in hunt.gate_answer["sites"]] == [site.pk]
    assert AuditEntry.objects.get(verb="hunt.plan").subject == f"hunts.Hunt:{hunt.pk}"


def test_codes_run_within_the_year(leader: User) -> None:
    first, second = plan(leader), plan(leader)
    year = first.on.year
    assert [first.code, second.code] == [f"H{year}-001", f"H{year}-002"]


def test_plan_sent_twice_is_one_hunt(leader: User) -> None:
    site = make.site()
    permission, once = make.permission(site), uuid4()
    rows = {plan(leader, site, permission=permission, client_id=once).pk for _ in range(2)}
    assert len(rows) == 1
    assert Hunt.objects.count() == 1


def test_member_may_not_plan(member: User) -> None:
    with pytest.raises(PermissionDenied):
        plan(member)
    assert not Hunt.objects.exists()


def test_site_of_another_permission_is_refused_by_name(leader: User) -> None:
    other = make.site(code="RS900", name="Elsewhere")
    with pytest.raises(HuntError, match="RS900 Elsewhere is not part of"):
        plan(leader, other, permission=make.permission(make.site()))


def test_shut_gate_keeps_the_plan_and_refuses_opening_with_its_reasons(leader: User) -> None:
    hunt = plan(leader)
    shut(hunt)
    with pytest.raises(GateShutError, match="paused"):
        actions.open_hunt(hunt.pk, by=leader, at=now())
    hunt.refresh_from_db()
    assert hunt.state == "planned"


def test_ask_first_needs_the_tick_and_the_words(leader: User) -> None:
    hunt = plan(leader)
    ask_first(hunt)
    for given in ({}, {"asked": True, "words": "  "}, {"words": "the tenant said yes"}):
        with pytest.raises(GateAskError):
            actions.open_hunt(hunt.pk, by=leader, at=now(), **given)
    opened = actions.open_hunt(hunt.pk, by=leader, at=now(), asked=True, words="Tenant by phone: yes")
    assert opened.state == "open"
    assert opened.gate_answer["answer"] == "ask"
    assert opened.gate_answer["asked"]["words"] == "Tenant by phone: yes"


def test_opening_gives_the_leader_the_first_place(leader: User) -> None:
    hunt = plan(leader)
    actions.open_hunt(hunt.pk, by=leader, at=now())
    assert SignUp.objects.standing().get(hunt=hunt).user == leader


def test_leader_whose_insurance_ends_before_the_day_cannot_open(leader: User) -> None:
    hunt = plan(leader)
    Insurance.objects.filter(user=leader).update(ends=make.days(9))
    with pytest.raises(
        NotEligibleError, match=f"insurance ends on {make.days(9):%-d %b %Y}, before this hunt on"
    ):
        actions.open_hunt(hunt.pk, by=leader, at=now())


def test_opening_twice_is_refused(leader: User) -> None:
    hunt = plan(leader)
    actions.open_hunt(hunt.pk, by=leader, at=now())
    with pytest.raises(IllegalMoveError):
        actions.open_hunt(hunt.pk, by=leader, at=now())


def test_places_cannot_fall_below_those_taken(leader: User) -> None:
    hunt = make.hunt(leader=leader, capacity=3)
    for _ in range(3):
        make.sign_up(hunt, make.person())
    with pytest.raises(PlacesError, match="2 places are too few: 3 people"):
        actions.change_hunt(hunt.pk, by=leader, at=now(), capacity=2)


def test_more_places_move_the_waiting_list_up(leader: User, django_capture_on_commit_callbacks: Any) -> None:
    hunt = make.hunt(leader=leader, capacity=1)
    make.sign_up(hunt, leader)
    waiting = [
        make.sign_up(hunt, make.person(), state="waiting", asked_at=now() - timedelta(hours=h))
        for h in (1, 3, 2)
    ]
    with django_capture_on_commit_callbacks(execute=True):
        actions.change_hunt(hunt.pk, by=leader, at=now(), capacity=3)
    states = [SignUp.objects.get(pk=row.pk).state for row in waiting]
    assert states == ["waiting", "in", "in"]
    assert {to for message in mail.outbox for to in message.to} == {
        waiting[1].user.email,
        waiting[2].user.email,
    }


def test_the_date_is_fixed_once_people_have_signed_up(leader: User) -> None:
    hunt = make.hunt(leader=leader, on=make.days(5))
    with pytest.raises(HuntError, match="“Date” is fixed"):
        actions.change_hunt(hunt.pk, by=leader, at=now(), on=make.days(6))


def test_a_new_leader_needs_a_place(leader: User, secretary: User) -> None:
    hunt = make.hunt(leader=leader, capacity=1)
    make.sign_up(hunt, leader)
    with pytest.raises(SignUpError, match="All 1 places are taken"):
        actions.change_hunt(hunt.pk, by=secretary, at=now(), leader=secretary)
    hunt.refresh_from_db()
    assert hunt.leader == leader


@pytest.mark.parametrize("state", ["planned", "open", "running"])
def test_calling_off_tells_everybody_who_was_coming(
    leader: User, state: str, django_capture_on_commit_callbacks: Any
) -> None:
    hunt = make.hunt(leader=leader, state=state)
    coming, waiting, gone = make.person(), make.person(), make.person()
    make.sign_up(hunt, coming)
    make.sign_up(hunt, waiting, state="waiting")
    make.sign_up(hunt, gone, state="withdrawn")
    with django_capture_on_commit_callbacks(execute=True):
        called = actions.call_off_hunt(hunt.pk, by=leader, at=now(), why="The beck is over the track.")
    assert (called.state, called.called_off_why) == ("called off", "The beck is over the track.")
    assert {to for message in mail.outbox for to in message.to} == {coming.email, waiting.email}
    assert all("The beck is over the track." in message.body for message in mail.outbox)


def test_calling_off_needs_a_reason_and_no_closed_hunt(leader: User) -> None:
    with pytest.raises(HuntError, match="Say why"):
        actions.call_off_hunt(make.hunt(leader=leader).pk, by=leader, at=now(), why=" ")
    with pytest.raises(IllegalMoveError):
        actions.call_off_hunt(make.hunt(leader=leader, state="closed").pk, by=leader, at=now(), why="late")


def test_longer_hours_than_the_terms_allow_are_refused_once_it_is_open(leader: User) -> None:
    hunt = make.hunt(leader=leader, on=make.days(5))
    Permission.objects.update(hours_to=time(17))
    with pytest.raises(GateShutError, match="17:00"):
        actions.change_hunt(hunt.pk, by=leader, at=now(), ends_at=time(18))
    hunt.refresh_from_db()
    assert hunt.ends_at == time(16)


def test_a_new_title_does_not_hide_that_the_gate_has_changed(leader: User) -> None:
    hunt = plan(leader)
    shut(hunt)
    changed = actions.change_hunt(hunt.pk, by=leader, at=now(), title="Long Acre, east half")
    assert changed.gate_answer["answer"] == "open"
    moved = actions.change_hunt(hunt.pk, by=leader, at=now(), capacity=11)
    assert moved.gate_answer["answer"] == "shut"


def test_what_is_kept_of_the_gate_reads_back_as_it_was_said(leader: User) -> None:
    hunt = plan(leader)
    shut(hunt)
    FieldState.objects.create(
        site=hunt.sites.all()[0], on=localdate(), crop="stubble", effect="ask", said_by="tenant"
    )
    said = gate_now(hunt, at=now())
    keep_gate(hunt, said, at=now())
    hunt.save()
    read = kept(Hunt.objects.get(pk=hunt.pk))
    assert read == said
    assert read.key == said.key
    assert read.answer == "shut"
    assert [reason.effect for reason in read.sites[0].reasons][:2] == ["shut", "ask"]
