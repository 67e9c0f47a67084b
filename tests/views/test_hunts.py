"""The pages of a hunt: planned, opened, filled, run, closed."""

from collections.abc import Callable
from datetime import time, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import localdate, now

from hunts.models import Hunt, SignUp
from people.models import Contact, Insurance, User
from permissions.models import FieldState, NoGoArea, Permission
from tests import make
from web.paging import A_PAGE

ClientOf = Callable[[User | None], Client]


def page(client: Client, name: str, *args: Any, **query: Any) -> str:
    response = client.get(reverse(f"hunts:{name}", args=args), query)
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def send(client: Client, name: str, *args: Any, **data: Any) -> str:
    response = client.post(reverse(f"hunts:{name}", args=args), data, follow=True)
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


@pytest.fixture
def plan() -> dict[str, Any]:
    site = make.site(code="RS771", name="Long Acre")
    permission = make.permission(site)
    return {
        "site": site,
        "permission": permission,
        "url": f"{reverse('hunts:plan')}?permission={permission.pk}",
    }


def filled_in(plan: dict[str, Any], leader: User, **changes: Any) -> dict[str, Any]:
    values = {
        "title": "Long Acre before drilling",
        "sites": [plan["site"].pk],
        "on": make.days(10).isoformat(),
        "starts_at": "09:00",
        "ends_at": "16:00",
        "leader": leader.pk,
        "capacity": 12,
        "step": "ask",
        "client_id": "0a9b7a52-6f3e-4a55-9a3e-0b7a4f1c2d3e",
    }
    return values | changes


def test_planning_shows_the_gate_before_it_saves(
    client_of: ClientOf, leader: User, plan: dict[str, Any]
) -> None:
    client = client_of(leader)
    first = client.post(plan["url"], filled_in(plan, leader))
    assert "What the gate says" in first.content.decode()
    assert not Hunt.objects.exists()
    seen = first.context["form"]["seen"].value()
    saved = client.post(plan["url"], filled_in(plan, leader, step="save", seen=seen))
    hunt = Hunt.objects.get()
    assert saved["Location"] == reverse("hunts:detail", args=[hunt.pk])
    client.post(plan["url"], filled_in(plan, leader, step="save", seen=seen))
    assert Hunt.objects.count() == 1


def test_an_answer_that_changed_meanwhile_is_shown_again(
    client_of: ClientOf, leader: User, plan: dict[str, Any]
) -> None:
    client = client_of(leader)
    seen = client.post(plan["url"], filled_in(plan, leader)).context["form"]["seen"].value()
    FieldState.objects.create(
        site=plan["site"], on=localdate(), crop="wheat", effect="shut", said_by="tenant"
    )
    again = client.post(plan["url"], filled_in(plan, leader, step="save", seen=seen))
    assert "cannot be opened for sign-up" in again.content.decode()
    assert not Hunt.objects.exists()


def test_bad_plans_name_the_value_and_keep_what_was_typed(
    client_of: ClientOf, leader: User, plan: dict[str, Any]
) -> None:
    bad = filled_in(
        plan, leader, on=make.days(-1).isoformat(), starts_at="16:00", ends_at="09:00", capacity=0
    )
    text = client_of(leader).post(plan["url"], bad).content.decode()
    assert f"{make.days(-1):%-d %b %Y} has gone by" in text
    assert "09:00 is not after the start at 16:00" in text
    assert "greater than or equal to 1" in text
    assert "Long Acre before drilling" in text


def test_sites_of_another_permission_are_not_offered(
    client_of: ClientOf, leader: User, plan: dict[str, Any]
) -> None:
    other = make.site(code="RS772")
    text = client_of(leader).post(plan["url"], filled_in(plan, leader, sites=[other.pk])).content.decode()
    assert "RS772" not in text
    assert "not one of the available choices" in text


@pytest.mark.parametrize("number", ["999999", "x"])
def test_an_unknown_permission_is_not_found(client_of: ClientOf, leader: User, number: str) -> None:
    assert client_of(leader).get(reverse("hunts:plan"), {"permission": number}).status_code == 404


def test_a_shut_gate_keeps_the_hunt_planned(client_of: ClientOf, leader: User) -> None:
    hunt = make.hunt(leader=leader, state="planned", on=make.days(9))
    Permission.objects.update(state="paused")
    client = client_of(leader)
    assert "so this hunt stays planned" in page(client, "open", hunt.pk)
    assert "The gate is shut, so nothing was changed" in send(client, "open", hunt.pk)
    hunt.refresh_from_db()
    assert hunt.state == "planned"


def test_ask_first_wants_the_answer_in_words(client_of: ClientOf, leader: User) -> None:
    hunt = make.hunt(leader=leader, state="planned", on=make.days(9))
    FieldState.objects.create(
        site=hunt.sites.all()[0], on=localdate(), crop="stubble", effect="ask", said_by="tenant"
    )
    client = client_of(leader)
    assert "write down who said what" in send(client, "open", hunt.pk)
    text = send(client, "open", hunt.pk, asked="on", words="Tenant by phone on Friday: come by the east gate")
    assert "is open for sign-up" in text
    assert "Tenant by phone on Friday" in text


def test_the_page_says_when_the_gate_has_changed_since(
    client_of: ClientOf, leader: User, secretary: User
) -> None:
    hunt = make.hunt(leader=leader, state="planned", on=make.days(9))
    send(client_of(leader), "edit", hunt.pk, **edit_of(hunt, capacity=9))
    assert "has changed since" not in page(client_of(leader), "detail", hunt.pk)
    Permission.objects.update(state="paused")
    text = page(client_of(leader), "detail", hunt.pk)
    assert "it said “open” then and says “shut” now" in text


def edit_of(hunt: Hunt, **changes: Any) -> dict[str, Any]:
    values = {
        "title": hunt.title,
        "on": hunt.on.isoformat(),
        "starts_at": "09:00",
        "ends_at": "16:00",
        "leader": hunt.leader_id,
        "capacity": hunt.capacity,
        "meeting_point": "The lay-by at Saltmere Farm",
    }
    return values | changes


def test_landholders_are_named_to_the_secretary_only(
    client_of: ClientOf, leader: User, secretary: User
) -> None:
    owner = make.landholder(name="Ada Warp")
    site = make.site(owner=owner)
    permission = make.permission(site, consents=False)
    hunt = make.hunt(site, leader=leader, permission_=permission, state="planned", on=make.days(9))
    assert "Ada Warp" not in page(client_of(leader), "detail", hunt.pk)
    assert "Ada Warp" in page(client_of(secretary), "detail", hunt.pk)


def test_member_signs_up_waits_and_withdraws(client_of: ClientOf, leader: User, member: User) -> None:
    hunt = make.hunt(leader=leader, on=make.days(5), capacity=1, meeting_point="Saltmere lay-by")
    client = client_of(member)
    assert "Saltmere lay-by" in page(client, "detail", hunt.pk)
    assert "You have a place." in send(client, "sign_up", hunt.pk)
    other = client_of(make.person())
    assert "You are number 1 on the waiting list" in send(other, "sign_up", hunt.pk)
    assert "Thank you for giving the place back" in send(client, "withdraw", hunt.pk)
    assert "You have a place" in page(other, "detail", hunt.pk)


def test_lapsed_insurance_is_named_with_its_last_day(client_of: ClientOf, member: User) -> None:
    hunt = make.hunt(on=make.days(5))
    Insurance.objects.update(ends=make.days(4))
    assert f"insurance ends on {make.days(4):%-d %b %Y}" in send(client_of(member), "sign_up", hunt.pk)
    assert not SignUp.objects.exists()


def test_members_do_not_see_who_is_coming_nor_the_gate(client_of: ClientOf, member: User) -> None:
    hunt = make.hunt(on=make.days(5))
    make.sign_up(hunt, make.person(name="Wilf Spurn"))
    text = page(client_of(member), "detail", hunt.pk)
    assert "Wilf Spurn" not in text
    assert "The gate:" not in text
    assert "Leading it" not in text


def test_the_day_from_start_to_close(client_of: ClientOf, leader: User, member: User) -> None:
    hunt = make.hunt(leader=leader, ends_at=time(23, 59))
    row = make.sign_up(hunt, member)
    client = client_of(leader)
    assert "The hunt is running" in send(client, "start", hunt.pk)
    assert "1 more heard the briefing" in send(client, "briefing", hunt.pk, heard=[row.pk])
    assert "has not signed in" in send(client, "sign_out_person", row.pk)
    assert "Out on the field" in send(client, "sign_in_person", row.pk)
    assert f"{member.name} is still out" in send(client, "close", hunt.pk, counted=1)
    assert "Back" in send(client, "sign_out_person", row.pk)
    make.hole(hunt, member)
    assert "Hole 1 is not filled" in send(client, "close", hunt.pk, counted=1)
    assert "You counted 2, but 1 signed in" in send(client, "close", hunt.pk, counted=2, unfilled_why="dusk")
    text = send(client, "close", hunt.pk, counted=1, unfilled_why="It was dusk.")
    assert "is closed" in text
    assert "Closed with open holes: It was dusk." in text
    assert "Holes not filled" in text


def test_the_second_leader_to_close_gets_a_plain_message(
    client_of: ClientOf, leader: User, secretary: User
) -> None:
    hunt = make.hunt(leader=leader, state="running")
    send(client_of(leader), "close", hunt.pk, counted=0)
    assert f"was already closed by {leader.name}" in send(client_of(secretary), "close", hunt.pk, counted=0)


def test_starting_on_another_day_names_both_days(client_of: ClientOf, leader: User) -> None:
    hunt = make.hunt(leader=leader, on=make.days(3))
    text = send(client_of(leader), "start", hunt.pk)
    assert f"is on {make.days(3):%-d %b %Y} and today is {localdate():%-d %b %Y}" in text


def test_a_late_person_is_marked_after_the_finish(client_of: ClientOf, leader: User, member: User) -> None:
    hunt = make.hunt(leader=leader, state="running", on=make.days(-1))
    make.attendance(hunt, member, signed_in_at=hunt.begins)
    assert "Late: still out after the finish" in page(client_of(leader), "roll_call", hunt.pk)
    assert "out after the finish" in page(client_of(leader), "detail", hunt.pk)


@pytest.mark.parametrize(("day", "shown"), [(0, True), (-1, False)])
def test_vehicle_and_emergency_contact_are_for_the_leader_on_the_day(
    client_of: ClientOf, leader: User, secretary: User, member: User, day: int, shown: bool
) -> None:
    hunt = make.hunt(leader=leader, state="running", on=make.days(day))
    make.attendance(hunt, member, vehicle="RS54 AND", emergency_contact="Pat 01964 000001")
    text = page(client_of(leader), "roll_call", hunt.pk)
    assert ("RS54 AND" in text) is shown
    assert ("Pat 01964 000001" in text) is shown
    assert "RS54 AND" not in page(client_of(secretary), "roll_call", hunt.pk)


def test_another_leader_on_the_field_sees_the_contacts_too(
    client_of: ClientOf, leader: User, member: User
) -> None:
    hunt = make.hunt(state="running")
    make.attendance(hunt, member, emergency_contact="Pat 01964 000001")
    make.attendance(hunt, leader)
    assert "Pat 01964 000001" in page(client_of(leader), "roll_call", hunt.pk)


def test_emergency_card_gives_the_gate_and_the_landholder_only_to_the_leader_today(
    client_of: ClientOf, leader: User, member: User
) -> None:
    make.club(emergency_department="Hedon Cottage Hospital, 14 km")
    site = make.site(owner=make.landholder(name="Ada Warp", phone="01964 555000"))
    site.gate_lon, site.gate_lat, site.access, site.postcode = (
        0.15,
        53.6,
        "Second gate past the beck.",
        "HU00 0ZZ",
    )
    site.save()
    hunt = make.hunt(site, leader=leader, state="running")
    Contact.objects.create(kind="police", name="Rural desk", phone="101")
    for text in (page(client_of(user), "emergency_card", hunt.pk) for user in (leader, member)):
        for words in (
            "TA 4237 1363",
            "53.60000, 0.15000",
            "Second gate",
            "HU00 0ZZ",
            "Hedon Cottage",
            "Rural desk",
        ):
            assert words in text
        assert "Do not touch it, move it or dig further" in text
        assert "Do not lift or clean anything" in text
        assert "at least 100 m away" in text
    assert "01964 555000" in page(client_of(leader), "emergency_card", hunt.pk)
    assert "01964 555000" not in page(client_of(member), "emergency_card", hunt.pk)
    Hunt.objects.update(on=make.days(-1))
    assert "01964 555000" not in page(client_of(leader), "emergency_card", hunt.pk)


def test_drills_name_the_clubs_own_contacts(client_of: ClientOf, member: User) -> None:
    Contact.objects.create(kind="coroner", name="Coroner's office", phone="01482 000000")
    text = page(client_of(member), "drills")
    for words in (
        "Do not touch it, move it or dig further",
        "Anything that may explode",
        "01482 000000",
        "999 or 112",
    ):
        assert words in text


def test_called_off_while_people_are_out_keeps_the_roll_call(
    client_of: ClientOf, leader: User, member: User
) -> None:
    hunt = make.hunt(leader=leader, state="running")
    make.attendance(hunt, member)
    text = send(client_of(leader), "call_off", hunt.pk, why="Lightning")
    assert "Called off: Lightning" in text
    assert "1 still out on the field" in text


@pytest.mark.parametrize("name", ["list", "detail", "roll_call", "hole_list"])
def test_pages_ask_as_often_for_twenty_rows_as_for_one(client_of: ClientOf, leader: User, name: str) -> None:
    client, hunt = client_of(leader), make.hunt(leader=leader, state="running")
    args = [] if name == "list" else [hunt.pk]

    def grow(number: int) -> int:
        for _ in range(number):
            person = make.person()
            make.attendance(hunt, person)
            make.hole(hunt, person)
            if name == "list":
                make.sign_up(make.hunt(on=make.days(3)), person)
        with CaptureQueriesContext(
            connection,
        ) as queries:
            page(client, name, *args)
        return len(queries)

    assert grow(1) == grow(19)


def test_the_list_turns_pages(client_of: ClientOf, member: User) -> None:
    permission = make.permission(site := make.site())
    for number in range(A_PAGE + 1):
        make.hunt(site, permission_=permission, on=make.days(number + 1))
    assert "Page 1 of 2" in page(client_of(member), "list")
    assert page(client_of(member), "list", page=2).count('scope="row"') == 1


def test_past_hunts_stand_apart(client_of: ClientOf, member: User) -> None:
    old = make.hunt(on=make.days(-3), state="closed", title="Harvest home", closed_at=now() - timedelta(3))
    assert "Harvest home" not in page(client_of(member), "list")
    assert str(old) in page(client_of(member), "list", when="past")


def test_the_briefing_reads_hazards_no_go_and_terms_but_not_whom_notice_goes_to(
    client_of: ClientOf, member: User
) -> None:
    site = make.site(hazards="Old marl pit on the north side")
    NoGoArea.objects.create(site=site, reason="Marl pit", buffer_m=5, geometry=make.SQUARE)
    permission = make.permission(site, depth_limit_cm=25, notice_to="Ada Warp 01964 555000")
    hunt = make.hunt(site, permission_=permission, briefing="Keep left of the tramlines.")
    text = page(client_of(member), "briefing", hunt.pk)
    for words in (
        "Old marl pit",
        "Marl pit, keep 5 m away",
        "25 cm",
        "Keep left of the tramlines",
        "never below",
    ):
        assert words in text
    assert "Ada Warp" not in text


def test_somebody_at_the_gate_is_added_once(client_of: ClientOf, leader: User, member: User) -> None:
    hunt = make.hunt(leader=leader, state="running")
    client = client_of(leader)
    assert f"{member.name} has a place; sign them in" in send(client, "roll_call", hunt.pk, person=member.pk)
    assert "Choose who came" in send(client, "roll_call", hunt.pk)
    assert "not one of the available choices" in send(client, "roll_call", hunt.pk, person=member.pk)
    assert SignUp.objects.filter(hunt=hunt, user=member).count() == 1


def test_the_secretary_signs_up_who_telephoned_and_reads_why_not(
    client_of: ClientOf, secretary: User, leader: User, member: User
) -> None:
    hunt = make.hunt(leader=leader, on=make.days(20), capacity=1)
    bare, client = make.person(insured=False), client_of(secretary)
    assert reverse("hunts:sign_up_person", args=[hunt.pk]) in page(client, "detail", hunt.pk)
    refused = send(client, "sign_up_person", hunt.pk, person=bare.pk)
    assert "Nothing was saved yet" in refused
    assert f'<option value="{bare.pk}" selected>' in refused  # what was chosen stays
    assert f"{member.name} has a place." in send(client, "sign_up_person", hunt.pk, person=member.pk)
    assert "is on the waiting list" in send(client, "sign_up_person", hunt.pk, person=leader.pk)
    assert f'value="{member.pk}"' not in page(client, "sign_up_person", hunt.pk)
