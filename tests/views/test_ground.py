"""Plan, lanes, tracks in, ground covered: what each reader sees and gets."""

import re
from collections.abc import Callable
from datetime import timedelta
from io import BytesIO
from typing import Any

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import now
from PIL import Image

from geo.gpx import read_gpx
from hunts.models import Hunt, HuntPlan, Track
from people.models import User
from people.rights import Role
from permissions.models import FieldState
from tests import ground, make

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
def hunt(leader: User, member: User) -> Hunt:
    hunt = make.hunt(leader=leader, state="running", started_at=now())
    make.sign_up(hunt, leader)
    make.attendance(hunt, member)
    return hunt


def give(client: Client, hunt: Hunt, data: bytes, name: str = "walk.gpx", **more: Any) -> str:
    values = {"file": SimpleUploadedFile(name, data), "swath_m": "1.5", "accuracy_m": "5"} | more
    return send(client, "track_add", hunt.pk, **values)


def walk(hunt: Hunt, **kwargs: Any) -> bytes:
    return ground.gpx_bytes(ground.serpentine(), **({"start": ground.morning(hunt)} | kwargs))


# The plan


def test_the_plan_says_plainly_what_a_day_covers(hunt: Hunt, leader: User, client_of: ClientOf) -> None:
    said = send(
        client_of(leader), "ground_plan", hunt.pk, **ground.PLAN | {"spacing_m": "1.5", "people": "2"}
    )
    assert "The plan is kept." in said
    assert "One visit cannot do this field" in said
    assert "461 m² an hour" in said  # E1 of the worked examples: 460.9
    assert "take 9 people comfortably, 19 at the most" in said  # 9.8 acres


def test_too_many_people_for_the_ground_are_said(hunt: Hunt, leader: User, client_of: ClientOf) -> None:
    assert "more than this ground takes" in send(
        client_of(leader), "ground_plan", hunt.pk, **ground.PLAN | {"people": "40"}
    )


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("coil_cm", "0", "is 0 cm; give 3 to 120 cm (an 11 inch coil is 28 cm)"),
        ("coil_cm", "-28", "is -28 cm"),
        ("overlap_percent", "100", "is 100 %; give 0 to 95 % (half is 50)"),
        ("spacing_m", "0.1", "is 0.1 m; give 0.3 to 200 m"),
        ("hours", "25", "is 25 hours; give 0.1 to 24 hours"),
        ("people", "0", "is 0 people; give 1 to 5000 people"),
        ("swing_m_s", "nan", "Enter a number"),
    ],
)
def test_a_number_no_sweep_can_have_is_named(
    hunt: Hunt, leader: User, client_of: ClientOf, field: str, value: str, words: str
) -> None:
    said = send(client_of(leader), "ground_plan", hunt.pk, **ground.PLAN | {field: value})
    assert words in said
    assert "Nothing was saved yet" in said
    assert not HuntPlan.objects.exists()


def test_members_read_the_plan_and_do_not_change_it(hunt: Hunt, member: User, client_of: ClientOf) -> None:
    said = page(client_of(member), "ground_plan", hunt.pk)
    assert "What the day will cover" in said
    assert "Keep the plan" not in said


# Lanes


def planned(hunt: Hunt, **fields: Any) -> Hunt:
    HuntPlan.objects.create(hunt=hunt, **({"spacing_m": 10, "heading_deg": 0} | fields))
    return hunt


def test_lanes_are_shared_among_those_who_hold_a_place(hunt: Hunt, leader: User, client_of: ClientOf) -> None:
    said = page(client_of(leader), "lanes", planned(hunt).pk)
    assert "20 lanes 10.0 m apart" in said  # 199 m across
    assert "Mo Samphire" in said
    assert "1 to 10" in said


def test_a_member_learns_which_lanes_are_theirs_but_not_whose_the_others_are(
    hunt: Hunt, member: User, client_of: ClientOf
) -> None:
    said = page(client_of(member), "lanes", planned(hunt).pk)
    assert "<strong>You</strong>" in said
    assert "Somebody else" in said
    assert "Len Groyne" not in said.split("Who walks which")[1]


def test_own_lanes_come_as_gpx_that_reads_back(hunt: Hunt, member: User, client_of: ClientOf) -> None:
    response = client_of(member).get(reverse("hunts:lanes_gpx", args=[planned(hunt).pk]))
    assert response["Content-Disposition"].startswith("attachment")
    routes = read_gpx(response.content).routes
    assert len(routes) == 11  # one walk through all, and ten lanes
    assert b"Mo Samphire" not in response.content


def test_another_persons_lanes_are_for_leaders(
    hunt: Hunt, member: User, leader: User, client_of: ClientOf
) -> None:
    url = reverse("hunts:lanes_gpx", args=[planned(hunt).pk])

    def lanes(client: Any, **query: Any) -> bytes:
        """Without the time it was made at, which may pass a second between two answers."""
        return re.sub(rb"<time>[^<]*</time>", b"", client.get(url, query).content)

    own = lanes(client_of(member), person=leader.pk)
    assert own == lanes(client_of(member))
    assert lanes(client_of(leader), person=member.pk) == own


def test_each_sheet_lists_lanes_with_where_they_begin(hunt: Hunt, leader: User, client_of: ClientOf) -> None:
    said = page(client_of(leader), "lanes_sheets", planned(hunt).pk)
    assert said.count("page-break") == 1
    assert len(re.findall(r'class="ref">TA \d{4} \d{4}', said)) == 20


def test_a_sliver_gets_a_clear_message(leader: User, client_of: ClientOf) -> None:
    shape = [[[0.15, 53.6], [0.150012, 53.6], [0.150012, 53.600004], [0.15, 53.600004], [0.15, 53.6]]]
    sliver = make.site(boundary={"type": "Polygon", "coordinates": shape}, area_m2=0.4)
    hunt = planned(make.hunt(sliver, leader=leader))
    assert "No lane of 1 m fits this ground" in page(client_of(leader), "lanes", hunt.pk)


def test_an_estate_gets_a_clear_message(leader: User, client_of: ClientOf) -> None:
    shape = [[[0.15, 53.6], [0.25, 53.6], [0.25, 53.66], [0.15, 53.66], [0.15, 53.6]]]
    estate = make.site(boundary={"type": "Polygon", "coordinates": shape}, area_m2=44e6)
    hunt = planned(make.hunt(estate, leader=leader), spacing_m=1.5)
    said = page(client_of(leader), "lanes", hunt.pk)
    assert "would cross this ground" in said
    assert "plan one field at a time" in said


def test_more_people_than_lanes_is_said(hunt: Hunt, leader: User, client_of: ClientOf) -> None:
    for _ in range(3):
        make.sign_up(hunt, make.person())
    said = page(client_of(leader), "lanes", planned(hunt, spacing_m=100).pk)
    assert "2 lanes cannot be shared among 5 people" in said


# Tracks


def test_a_track_is_kept_and_shows_what_it_covered(hunt: Hunt, member: User, client_of: ClientOf) -> None:
    said = give(client_of(member), hunt, walk(hunt))
    assert "The track is kept." in said
    assert "1.6 km" in said
    assert "6 %" in said
    assert '"kind": "covered"' in said
    assert '"kind": "walk"' in said


BOMB = b'<!DOCTYPE gpx [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;&a;">]><gpx><trk><name>&b;</name></trk></gpx>'
ROUTE = b'<gpx version="1.1"><rte><rtept lat="53.6" lon="0.15"/><rtept lat="53.6" lon="0.151"/></rte></gpx>'


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (BOMB, "document type"),
        (b"not xml at all", "cannot be read"),
        (b" ", "The file is empty"),
        (b"PK\x03\x04 zipped", "compressed"),
        (ROUTE, "holds 1 route and 0 waypoints but no track"),
        (b"<gpx>" + b" " * 25_000_001, "25.0 MB"),
    ],
    ids=["entity bomb", "no XML", "empty", "zip", "route", "too large"],
)
def test_a_file_that_is_no_track_is_refused_with_the_reason(
    hunt: Hunt, member: User, client_of: ClientOf, data: bytes, words: str
) -> None:
    said = give(client_of(member), hunt, data)
    assert words in said
    assert "Nothing was saved yet" in said
    assert not Track.objects.exists()


def test_a_track_of_another_year_is_refused_and_named(hunt: Hunt, member: User, client_of: ClientOf) -> None:
    said = give(client_of(member), hunt, walk(hunt, start=ground.morning(hunt).replace(year=2019)))
    assert "2019, not of the hunt&#x27;s day" in said


def test_the_same_walk_twice_is_said_to_be_there(hunt: Hunt, member: User, client_of: ClientOf) -> None:
    client = client_of(member)
    give(client, hunt, walk(hunt))
    assert "This walk is kept already" in give(client, hunt, walk(hunt, name="another name"))
    assert Track.objects.count() == 1


@pytest.mark.parametrize(("swath", "words"), [("0", "is 0 m; give 0.4 to 4 m"), ("9", "is 9 m")])
def test_a_swath_that_cannot_be_is_named(
    hunt: Hunt, member: User, client_of: ClientOf, swath: str, words: str
) -> None:
    assert words in give(client_of(member), hunt, walk(hunt), swath_m=swath)


def test_pace_is_set_against_the_plan(hunt: Hunt, member: User, client_of: ClientOf) -> None:
    said = give(client_of(member), planned(hunt), walk(hunt))
    assert re.search(r"Walked (29|30)\.\d m a minute; the plan needs 5\.0", said)


# Who sees what


def test_a_member_sees_their_own_track_and_the_share_only(
    hunt: Hunt, member: User, leader: User, client_of: ClientOf
) -> None:
    ground.track(hunt, leader)
    said = page(client_of(member), "coverage", hunt.pk)
    assert "6 %" in said
    assert "No track to show you" in said
    assert "Where to go next" not in said
    assert '"kind": "covered"' not in said
    assert (
        client_of(member)
        .get(reverse("hunts:coverage_picture", args=[hunt.pk, hunt.sites.get().pk]))
        .status_code
        == 404
    )


def test_asking_for_somebody_elses_track_shows_nothing(
    hunt: Hunt, member: User, leader: User, client_of: ClientOf
) -> None:
    ground.track(hunt, leader)
    said = page(client_of(member), "coverage", hunt.pk, person=leader.pk)
    assert '"kind": "walk"' not in said
    assert "Len Groyne" not in said.split("<h1>")[1]


def test_a_leader_of_another_hunt_sees_no_track_of_this_one(
    hunt: Hunt, member: User, client_of: ClientOf
) -> None:
    ground.track(hunt, member)
    other = make.person(Role.LEADER)
    assert '"kind": "walk"' not in page(client_of(other), "coverage", hunt.pk)
    assert (
        client_of(other).post(reverse("hunts:track_remove", args=[Track.objects.get().pk])).status_code == 404
    )


def test_the_leader_sees_every_track_the_gaps_and_one_person_alone(
    hunt: Hunt, member: User, leader: User, client_of: ClientOf
) -> None:
    ground.track(hunt, member)
    ground.track(hunt, leader, ground.serpentine(y=20))
    client = client_of(leader)
    said = page(client, "coverage", hunt.pk)
    assert said.count('"kind": "walk"') == 2
    assert "Where to go next" in said
    assert '"kind": "gap"' in said
    alone = page(client, "coverage", hunt.pk, person=member.pk)
    assert alone.count('"kind": "walk"') == 1
    assert "the track shown" in alone


def test_members_see_the_site_share_but_no_map(
    hunt: Hunt, member: User, leader: User, client_of: ClientOf
) -> None:
    ground.track(hunt, leader)
    site = hunt.sites.get()
    said = page(client_of(member), "site_coverage", site.pk)
    assert "6 %" in said
    assert '"kind": "covered"' not in said
    assert '"kind": "gap"' in page(client_of(leader), "site_coverage", site.pk)


def test_a_locked_hole_is_on_no_page_of_ground_covered(
    hunt: Hunt, member: User, leader: User, client_of: ClientOf
) -> None:
    ground.track(hunt, member)
    make.hole(hunt, member, locked=True, lon=0.1512345, lat=53.6006789)
    for name, pk in (("coverage", hunt.pk), ("site_coverage", hunt.sites.get().pk)):
        assert "0.1512345" not in page(client_of(leader), name, pk)


# The site through time


def test_ploughing_makes_the_ground_new(hunt: Hunt, leader: User, client_of: ClientOf) -> None:
    ground.track(hunt, leader)
    site = hunt.sites.get()
    client = client_of(leader)
    FieldState.objects.create(site=site, on=hunt.on, effect="open", cultivated=True, said_by="the farm")
    assert "6 %" in page(client, "site_coverage", site.pk)  # ploughed that morning, then searched
    FieldState.objects.create(
        site=site, on=hunt.on + timedelta(1), effect="open", cultivated=True, said_by="the farm"
    )
    said = page(client, "site_coverage", site.pk)
    assert "when the field was seen freshly cultivated" in said
    assert "<dd>0 %</dd>" in said


def test_hunts_add_up_on_a_site(leader: User, member: User, client_of: ClientOf) -> None:
    site = make.site()
    for days, y in ((-7, -80), (0, 20)):
        hunt = make.hunt(site, leader=leader, on=make.days(days), state="running", started_at=now())
        ground.track(hunt, leader, ground.serpentine(y=y))
    assert "12 %" in page(client_of(leader), "site_coverage", site.pk)


def test_blank_ground_is_listed_with_people_and_hours(
    leader: User, member: User, client_of: ClientOf
) -> None:
    hunt = make.hunt(leader=leader, state="running", started_at=now())
    make.attendance(hunt, member, signed_out_at=now(), signed_out_by=leader)
    client = client_of(leader)
    assert "1 signed in, 2.0 hours between in and out, 4.0 ha (9.8 acres) of ground" in page(
        client, "close", hunt.pk
    )
    send(client, "close", hunt.pk, counted=1)
    said = page(client, "detail", hunt.pk)
    assert "1 person searched 4.0 ha (9.8 acres) for 2.0 hours in all. Nothing was kept" in said
    said = page(client, "site_coverage", hunt.sites.get().pk)
    assert '<td class="number" data-label="Hours">2.0</td>' in said
    assert '<td class="number" data-label="Finds kept here">none</td>' in said


def test_the_picture_shows_covered_and_bare_ground(hunt: Hunt, leader: User, client_of: ClientOf) -> None:
    ground.track(hunt, leader)
    url = reverse("hunts:coverage_picture", args=[hunt.pk, hunt.sites.get().pk])
    image = Image.open(BytesIO(client_of(leader).get(url).content))
    assert image.format == "PNG"
    assert {3, 1, 2} <= set(
        np.asarray(image).ravel().tolist()
    )  # one pass, gap, hatch: geo.coverage_store.PALETTE


# Cost


@pytest.mark.parametrize("name", ["coverage", "lanes", "lanes_sheets", "ground_plan"])
def test_queries_do_not_grow_with_people(hunt: Hunt, leader: User, client_of: ClientOf, name: str) -> None:
    client = client_of(leader)
    ground.track(hunt, leader)

    def count() -> int:
        with CaptureQueriesContext(
            connection,
        ) as seen:
            page(client, name, hunt.pk)
        return len(seen)

    count()
    one = count()
    for number in range(6):
        person = make.person()
        make.sign_up(hunt, person)
        ground.track(
            hunt, person, ground.serpentine(2, y=-50 + 15 * number), start=ground.morning(hunt, 10 + number)
        )
    assert count() == one


def test_queries_of_a_site_do_not_grow_with_hunts(leader: User, client_of: ClientOf) -> None:
    site, client = make.site(), client_of(leader)

    def count() -> int:
        with CaptureQueriesContext(connection) as seen:
            page(client, "site_coverage", site.pk)
        return len(seen)

    def past(days: int) -> None:
        hunt = make.hunt(site, leader=leader, on=make.days(-days), state="running")
        ground.track(hunt, leader, ground.serpentine(2, y=-80 + days))

    past(1)
    count()
    one = count()
    for days in range(2, 8):
        past(days)
    assert count() == one
