"""The calendar feed, read by an independent library (vobject; icalendar writes it), and what must not be in it.

Source: RFC 5545: 3.1 lines of at most 75 octets and CRLF, 3.6 and 3.6.1 required properties, 3.6.5 a VTIMEZONE for
each TZID, 3.8.1.11 STATUS, 3.8.7.4 SEQUENCE; RFC 9110 sections 8.8.3 and 13.1.2 for ETag and If-None-Match.
"""

from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
import vobject
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate, now

from doors.actions import make_token, revoke_token
from doors.calendar import Entry, Status, write_calendar
from doors.models import AccessToken, Purpose
from finds.models import CustodyEntry
from hunts.actions import call_off_hunt, open_hunt, sign_up
from people.models import AuditEntry
from people.rights import Role
from permissions.models import Consent
from tests import make
from tests.doors_files.clients import client_of
from tests.views.locked_place import FIND_TRACES, HOLE_TRACES
from tests.views.world import World, build, shared_world

pytestmark = pytest.mark.django_db
LONDON = ZoneInfo("Europe/London")
AT = datetime(2026, 11, 1, 12, tzinfo=UTC)


def arranged() -> World:
    world = build()
    soon = localdate() + timedelta(9)
    make.hunt(
        world.site,
        code="H-SOON",
        leader=world.leader,
        permission_=world.permission,
        state="planned",
        on=soon,
        title="Salt Pan Field by Warp Farm",
        meeting_point="lay-by at Warp Lane",
    )
    type(world.case).objects.filter(pk=world.case.pk).update(due_on=soon)
    Consent.objects.filter(pk=world.consent.pk).update(ends=soon)
    return world


standing_world, world = shared_world(arranged)


def entry(**given: Any) -> Entry:
    said: dict[str, Any] = {
        "seed": "hunt 1",
        "starts": datetime(2026, 3, 29, 9, tzinfo=UTC),
        "ends": datetime(2026, 3, 29, 15, tzinfo=UTC),
        "summary": "Hunt H-1 (RS-01)",
        "description": "You have a place; bring a spade, and water.\nSecond line: " + "Åse " * 40,
        "url": "https://club.example/hunts/1/",
        "status": Status.CONFIRMED,
        "busy": True,
        "revision": 2,
        "changed": AT,
    }
    return Entry(**(said | given))


@pytest.mark.once
def test_lines_are_folded_end_in_crlf_and_the_same_entries_give_the_same_bytes() -> None:
    body = write_calendar("Ravensand", [entry()], LONDON)
    assert body == write_calendar("Ravensand", [entry()], LONDON)
    lines = body.split(b"\r\n")
    assert lines[-1] == b""
    assert b"\n" not in b"".join(lines)
    assert max(map(len, lines)) <= 75
    read = vobject.readOne(body.decode())
    assert read.vevent.description.value == entry().description


@pytest.mark.once
def test_times_are_the_clubs_with_a_rule_for_each_side_of_the_clocks_going_forward() -> None:
    """Clocks in the United Kingdom went forward on 29 March 2026 at 01:00 UTC: Summer Time Act 1972 (from memory)."""
    body = write_calendar("Ravensand", [entry()], LONDON).decode()
    assert "DTSTART;TZID=Europe/London:20260329T100000" in body  # 09:00 UTC is 10:00 by then
    read = vobject.readOne(body)
    assert [zone.tzid.value for zone in read.vtimezone_list] == ["Europe/London"]
    assert read.vevent.dtstart.value.astimezone(UTC) == datetime(2026, 3, 29, 9, tzinfo=UTC)
    winter = entry(starts=datetime(2026, 2, 1, 9, tzinfo=UTC), ends=datetime(2026, 2, 1, 15, tzinfo=UTC))
    read = vobject.readOne(write_calendar("Ravensand", [winter], LONDON).decode())
    assert read.vevent.dtstart.value.astimezone(UTC) == datetime(2026, 2, 1, 9, tzinfo=UTC)


@pytest.mark.once
def test_every_event_has_what_the_standard_asks_for() -> None:
    day = entry(seed="case 1", starts=date(2026, 4, 1), ends=None, busy=False, status=Status.TENTATIVE)
    read = vobject.readOne(write_calendar("Ravensand", [entry(), day], LONDON).decode())
    assert read.version.value == "2.0"
    assert read.prodid.value
    hunt, case = read.vevent_list
    assert len({hunt.uid.value, case.uid.value}) == 2
    assert (hunt.sequence.value, hunt.status.value, hunt.transp.value) == ("2", "CONFIRMED", "OPAQUE")
    assert hunt.dtstamp.value == getattr(hunt, "last_modified").value == AT  # noqa: B009 (vobject's own name)
    assert (case.dtstart.value, case.dtend.value) == (date(2026, 4, 1), date(2026, 4, 2))
    assert (case.status.value, case.transp.value) == ("TENTATIVE", "TRANSPARENT")


def feed_of(user: Any) -> str:
    _, key = make_token(
        by=user, at=now(), client_id=uuid4(), label="phone", purpose=Purpose.CALENDAR, days=30
    )
    return reverse("doors:calendar_feed", args=[key])


def events(user: Any) -> dict[str, Any]:
    response = Client().get(feed_of(user))
    assert response.status_code == 200
    read = vobject.readOne(response.content.decode())
    return {each.summary.value: each for each in getattr(read, "vevent_list", [])}


def test_everybody_gets_their_hunts_and_what_they_answer_for(world: World) -> None:
    soon, today = f"Hunt H-SOON ({world.site.code})", f"Hunt {world.hunt.code} ({world.site.code})"
    due, ends = f"Report due: case {world.case.number}", f"A consent ends: {world.permission.reference}"
    assert set(events(world.member)) == {today, due}
    assert set(events(world.secretary)) == {soon, ends}
    assert {soon, today, due} <= set(events(world.leader))
    assert {soon, due} <= set(events(world.committee))
    assert events(world.member)[today].status.value == "CONFIRMED"
    assert events(world.committee)[soon].status.value == "TENTATIVE"


def test_a_called_off_hunt_stays_as_cancelled_with_a_higher_sequence(world: World) -> None:
    """RFC 5545, 3.8.7.4: the sequence grows with each revision; the UID stays."""
    hunt = world.hunt.__class__.objects.get(code="H-SOON")
    open_hunt(hunt.pk, by=world.leader, at=now())
    sign_up(hunt.pk, by=world.member, at=now(), client_id=uuid4())
    name = f"Hunt H-SOON ({world.site.code})"
    before = events(world.member)[name]
    call_off_hunt(hunt.pk, by=world.leader, at=now(), why="lambs in the field")
    after = events(world.member)[name]
    assert (before.status.value, after.status.value) == ("CONFIRMED", "CANCELLED")
    assert before.uid.value == after.uid.value
    assert int(after.sequence.value) > int(before.sequence.value)
    assert after.last_modified.value >= before.last_modified.value


def test_what_is_due_back_stands_for_those_who_keep_custody(world: World) -> None:
    day = localdate() + timedelta(20)
    last = CustodyEntry.objects.filter(find=world.locked).latest("step")
    CustodyEntry.objects.create(
        find=world.locked,
        step=last.step + 1,
        at=now(),
        recorded_by=world.secretary,
        from_holder="finder",
        to_holder="museum",
        to_name="Salt Museum",
        purpose="study",
        due_back=day,
    )
    found = events(world.secretary)[f"Due back: {world.locked.number}"]
    assert found.dtstart.value == day
    assert f"Due back: {world.locked.number}" not in events(world.member)


@pytest.mark.parametrize("reader", ["member", "leader", "secretary", "committee"])
def test_no_place_no_landholder_no_object_and_no_name_is_in_it(reader: str, world: World) -> None:
    """A calendar is kept on other people's servers."""
    body = Client().get(feed_of(world.reader(reader))).content.decode().replace("\r\n ", "")
    assert "BEGIN:VEVENT" in body
    assert not FIND_TRACES.search(body)
    assert not HOLE_TRACES.search(body)
    told = ["Ada Warp", "Warp Farm", "Warp Lane", "pennies", world.site.name, "GEO:", "LOCATION", "ATTENDEE"]
    names = [world.leader.name, world.member.name, world.secretary.name]
    assert [word for word in (*told, *names) if word in body] == []


def test_it_is_sent_again_only_when_something_changed(world: World) -> None:
    url = feed_of(world.member)
    first = Client().get(url)
    again = Client().get(url, headers={"if-none-match": first["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert again["ETag"] == first["ETag"]
    AuditEntry.objects.create(
        at=now(), by=world.leader, verb="hunt.edit", subject=f"hunts.Hunt:{world.hunt.pk}", label="x"
    )
    changed = Client().get(url, headers={"if-none-match": first["ETag"]})
    assert changed.status_code == 200
    assert changed["ETag"] != first["ETag"]
    assert "private" in changed["Cache-Control"]


def test_a_key_that_was_ended_or_ran_out_or_is_no_key_opens_nothing(world: World) -> None:
    url = feed_of(world.member)
    token = AccessToken.objects.latest("pk")
    revoke_token(token.pk, by=world.member, at=now())
    assert Client().get(url).status_code == 410
    assert Client().get(reverse("doors:calendar_feed", args=["sbk_nothing"])).status_code == 410
    expired = feed_of(world.member)
    AccessToken.objects.filter(pk__gt=token.pk).update(
        made_at=now() - timedelta(9), expires_at=now() - timedelta(1)
    )
    assert Client().get(expired).status_code == 410


def test_a_lapsed_membership_ends_it_the_same_day_and_a_key_for_data_is_no_key_here(world: World) -> None:
    url = feed_of(world.member)
    assert Client().get(url).status_code == 200
    _, data = make_token(
        by=world.member,
        at=now(),
        client_id=uuid4(),
        label="map",
        purpose=Purpose.DATA,
        days=7,
        collections=["finds"],
    )
    assert Client().get(reverse("doors:calendar_feed", args=[data])).status_code == 410
    world.member.memberships.update(ends=localdate() - timedelta(1))
    assert Client().get(url).status_code == 410


def test_the_address_is_shown_once_and_listed_without_its_key(world: World) -> None:
    client = client_of(world.member)
    sent = {"label": "my phone", "days": "30", "client_id": str(uuid4())}
    made = client.post(reverse("doors:calendar"), sent)
    key = made.text.partition("/open/calendar/")[2].partition("/")[0]
    assert key.startswith("sbk_")
    assert Client().get(reverse("doors:calendar_feed", args=[key])).status_code == 200
    assert key not in client.post(reverse("doors:calendar"), sent).text  # the same form again makes no other
    page = client.get(reverse("doors:calendar")).text
    assert "my phone" in page
    assert key not in page
    assert AccessToken.objects.filter(user=world.member, purpose=Purpose.CALENDAR).count() == 1


def test_the_questions_do_not_grow_with_the_entries(
    world: World, django_assert_num_queries: Any, django_assert_max_num_queries: Any
) -> None:
    url, client = feed_of(world.secretary), Client()
    client.get(url)
    with django_assert_max_num_queries(30) as few:
        client.get(url)
    for number in range(12):
        make.hunt(
            world.site,
            code=f"H-{number}",
            leader=world.leader,
            permission_=world.permission,
            state="open",
            on=localdate() + timedelta(number + 1),
            starts_at=time(9),
        )
        make.consent(world.permission, world.landholder, ends=localdate() + timedelta(number))
    with django_assert_num_queries(len(few.captured_queries)):
        client.get(url)


def test_whoever_has_no_role_makes_no_address(world: World) -> None:
    assert client_of(world.stranger).get(reverse("doors:calendar")).status_code == 404
    assert client_of(make.person(Role.LEADER)).get(reverse("doors:calendar")).status_code == 200
