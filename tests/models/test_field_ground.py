"""The ground as a phone keeps it: boundaries of the day, no-go ground with its margins, lanes and whose they are."""

import json
from typing import Any

import numpy as np
import pytest
import shapely
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils.timezone import now

from field.grids import grid_fits
from field.ground import MOST_LANES, MOST_POINTS, THIN_M, ground_of, thinned
from geo.local import Local
from geo.measure import to_shape
from hunts import actions
from hunts.models import Hunt
from people.models import User
from people.rights import Right
from permissions.models import Boundary, NoGoArea
from tests import make

EAST_HALF: dict[str, Any] = {
    "type": "Polygon",
    "coordinates": [
        [[0.1515, 53.5999], [0.1531, 53.5999], [0.1531, 53.6019], [0.1515, 53.6019], [0.1515, 53.5999]]
    ],
}
LOCAL = Local(0.1515, 53.6009)


@pytest.fixture
def hunt(leader: User) -> Hunt:
    made = make.hunt(leader=leader)
    actions.set_ground_plan(made.pk, by=leader, at=now(), spacing_m=10, swath_m=2)
    return made


def test_the_boundary_is_that_of_the_day(hunt: Hunt, leader: User, secretary: User) -> None:
    site = hunt.sites.get()
    Boundary.objects.create(site=site, geometry=EAST_HALF, area_m2=19_000, drawn_at=now(), drawn_by=secretary)
    site.boundary = EAST_HALF
    site.save()
    told = ground_of(hunt, leader)["sites"]
    assert [(row["pk"], row["code"], row["name"]) for row in told] == [(site.pk, site.code, site.name)]
    assert told[0]["boundary"] == make.SQUARE


def test_no_go_ground_comes_with_its_margin(hunt: Hunt, leader: User) -> None:
    """The margin is measured by shapely on metres: nothing within 10 m of the area is left out."""
    middle = shapely.box(0.1514, 53.6008, 0.1516, 53.6010)
    geometry = json.loads(shapely.to_geojson(middle))
    NoGoArea.objects.create(site=hunt.sites.get(), reason="Badger sett", geometry=geometry, buffer_m=10)
    (area,) = ground_of(hunt, leader)["sites"][0]["no_go"]
    assert area["label"] == "Badger sett"
    kept, own = LOCAL.to_metres(to_shape(area["geometry"])), LOCAL.to_metres(middle)
    assert shapely.contains(kept, own.buffer(9.98))
    assert shapely.contains(own.buffer(10.05), kept)


def test_the_reader_s_own_lanes_come_first_and_nobody_is_named(
    hunt: Hunt, member: User, leader: User
) -> None:
    make.sign_up(hunt, member)
    make.sign_up(hunt, make.person(name="Somebody Else"))
    told = ground_of(hunt, member)
    mine = [lane["mine"] for lane in told["lanes"]]
    assert mine == sorted(mine, reverse=True)
    assert mine.count(True) == mine.count(False) == 10
    assert told["swath_m"] == 2
    site = hunt.sites.get().code
    assert {lane["site"] for lane in told["lanes"]} == {site}
    assert len({lane["label"] for lane in told["lanes"]}) == 20
    assert "Somebody Else" not in json.dumps(told)
    assert not any(lane["mine"] for lane in ground_of(hunt, leader)["lanes"])


def test_each_holder_s_lanes_are_the_ones_of_the_lanes_page(hunt: Hunt) -> None:
    """Two people's own lanes are apart, and together they are all of them."""
    people = [make.person(), make.person()]
    for each in people:
        make.sign_up(hunt, each)
    own = [{lane["label"] for lane in ground_of(hunt, each)["lanes"] if lane["mine"]} for each in people]
    assert own[0].isdisjoint(own[1])
    assert len(own[0] | own[1]) == 20


def test_more_lanes_than_a_phone_needs_are_cut_but_never_one_s_own(
    hunt: Hunt, member: User, leader: User
) -> None:
    actions.set_ground_plan(hunt.pk, by=leader, at=now(), spacing_m=0.3)
    assert len(ground_of(hunt, leader)["lanes"]) == MOST_LANES
    make.sign_up(hunt, member)
    told = ground_of(hunt, member)["lanes"]
    assert len(told) > MOST_LANES
    assert all(lane["mine"] for lane in told)


def test_ground_without_lanes_says_why_and_keeps_its_boundary(hunt: Hunt, leader: User) -> None:
    NoGoArea.objects.create(site=hunt.sites.get(), reason="All of it", geometry=dict(make.SQUARE), buffer_m=5)
    told = ground_of(hunt, leader)
    assert (len(told["sites"]), told["lanes"]) == (1, [])
    assert "No ground is left to search" in told["faults"][0]


def test_the_questions_asked_do_not_grow_with_the_sites(leader: User) -> None:
    leader.holds(Right.SEE_PEOPLE)  # asked once for each request
    counts = []
    for number in (1, 4):
        sites = [make.site() for _ in range(number)]
        for site in sites:
            NoGoArea.objects.create(site=site, reason="Pond", geometry=EAST_HALF)
        hunt = make.hunt(*sites, leader=leader)
        with CaptureQueriesContext(connection) as caught:
            assert len(ground_of(hunt, leader)["sites"]) == number
        counts.append(len(caught))
    assert counts[0] == counts[1]


def test_an_outline_of_many_points_is_thinned_to_a_decimetre() -> None:
    turns = np.linspace(0, 2 * np.pi, 6001)
    wavy = 300 + 20 * np.sin(40 * turns)
    ring = shapely.Polygon(np.column_stack([wavy * np.cos(turns), wavy * np.sin(turns)]))
    geometry = json.loads(shapely.to_geojson(LOCAL.to_degrees(ring)))
    thin = LOCAL.to_metres(to_shape(thinned(geometry)))
    assert shapely.get_num_coordinates(thin) < MOST_POINTS
    assert shapely.hausdorff_distance(thin.boundary, ring.boundary, densify=0.5) < THIN_M + 0.02
    assert thinned(make.SQUARE) is make.SQUARE


def test_a_site_of_the_club_has_a_grid(hunt: Hunt) -> None:
    fits = grid_fits(hunt.sites.get())
    assert [fit["name"] for fit in fits] == ["British National Grid"] * 2
    assert {fit["site"] for fit in fits} == {hunt.sites.get().code}
