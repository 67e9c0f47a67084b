"""The page of patterns: its numbers against small worlds that can be counted by hand."""

from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import now

from finds.density import MOST_BLOCKS, Surface, densities, sites_covered, surface
from finds.models import Find, FindMaterial, FindspotView
from finds.pattern_charts import blocks
from finds.patterns import efforts
from geo.coverage import draw
from geo.coverage_store import VERSION, pack
from hunts.ground import ground_of
from hunts.models import Hunt, Track, TrackCover
from permissions.models import Site
from tests import make

pytestmark = pytest.mark.django_db

PAGE = "finds:patterns"


@pytest.fixture
def hunt(leader):
    make.club()
    return make.hunt(leader=leader, state="closed")


def walk(hunt: Any, *, north_m: float, swath_m: float = 2.0) -> TrackCover:
    """A track along one line of the site from its west to its east end."""
    site = hunt.sites.all()[0]
    ground = ground_of(site)[0][0]
    west, _, east, _ = ground.searchable.bounds
    raster = draw(ground.grid, [np.array([(west, north_m), (east, north_m)])], swath_m / 2)
    track = Track.objects.create(
        hunt=hunt,
        user=hunt.leader,
        sha256=f"{north_m}{hunt.pk}",
        line={},
        points=2,
        length_m=east - west,
        swath_m=swath_m,
        added_at=now(),
    )
    return TrackCover.objects.create(
        track=track,
        site=site,
        mask=pack(raster),
        grid_lon=ground.local.lon0,
        grid_lat=ground.local.lat0,
        cell_m=ground.cell_m,
        version=VERSION,
        length_m=east - west,
    )


def density_of(hunt: Any) -> Any:
    hunts = Hunt.objects.filter(pk=hunt.pk)
    (row,) = densities(sites_covered(hunts), hunts, Find.objects.all())
    return row


@pytest.mark.parametrize("reader", ["member", "leader"])
def test_only_those_who_may_see_findspots_see_patterns(reader, hunt, request, client_of) -> None:
    user = request.getfixturevalue(reader)
    assert client_of(user).get(reverse(PAGE)).status_code == 403
    assert reverse(PAGE) not in client_of(user).get(reverse("finds:map")).text


def test_finds_per_hectare_are_finds_over_ground_covered(hunt) -> None:
    """A line of about 198 m with a swath of 2 m covers about 0.04 ha, and two finds on it make about 50 a hectare."""
    cover = walk(hunt, north_m=0)
    for _ in range(2):
        make.find(hunt, hunt.leader)
    row = density_of(hunt)
    by_hand_m2 = cover.length_m * 2
    assert row.covered_m2 == pytest.approx(by_hand_m2, rel=0.02)
    assert row.finds_a_ha == pytest.approx(2 / (by_hand_m2 / 10_000), rel=0.02)


def test_ground_that_two_hunts_covered_counts_once(hunt) -> None:
    walk(hunt, north_m=0)
    before = density_of(hunt).covered_m2
    again = make.hunt(hunt.sites.all()[0], leader=hunt.leader, state="closed")
    walk(again, north_m=0)
    hunts = Hunt.objects.all()
    (row,) = densities(sites_covered(hunts), hunts, Find.objects.all())
    assert row.covered_m2 == before


def test_finds_of_hunts_without_a_track_are_left_aside_and_said(hunt, secretary, client_of) -> None:
    walk(hunt, north_m=0)
    other = make.hunt(hunt.sites.all()[0], leader=hunt.leader, state="closed")
    make.find(other, hunt.leader)
    make.find(hunt, hunt.leader)
    page = client_of(secretary).get(reverse(PAGE))
    (row,) = page.context["densities"]
    assert (row.finds, row.aside) == (1, 1)
    assert "1 from hunts without a track" in page.text


def test_without_a_track_the_page_says_what_to_do(hunt, secretary, client_of) -> None:
    make.find(hunt, hunt.leader)
    assert "Add a GPX track" in client_of(secretary).get(reverse(PAGE)).text


def strewn(hunt: Any, count: int, **fields: Any) -> None:
    local = ground_of(hunt.sites.all()[0])[0][0].local
    for number in range(count):
        lon, lat = local.inverse(number * 9.0 - 40, number % 3 - 1.0)
        make.find(hunt, hunt.leader, lon=float(lon), lat=float(lat), **fields)


def surface_of(hunt: Any) -> Surface | None:
    return surface(density_of(hunt), Hunt.objects.filter(pk=hunt.pk), Find.objects.all())


def test_ground_nobody_covered_is_hatched_and_not_empty(hunt, secretary, client_of) -> None:
    walk(hunt, north_m=0)
    strewn(hunt, 8)
    made = surface_of(hunt)
    assert made is not None
    assert max(made.density.shape) <= MOST_BLOCKS + 1
    known = np.isfinite(made.density)
    assert (made.classes[~known & made.ground] == -1).all()
    assert 0 < known.sum() < made.ground.sum() / 4  # one line of the field is known, the rest is not
    page = client_of(secretary).get(reverse(PAGE, query={"site": hunt.sites.all()[0].code}))
    assert "not covered, not known" in page.text
    assert 'fill="url(#not-covered)"' in page.text


def test_the_surface_stands_as_high_as_the_sites_own_number_on_even_ground(hunt) -> None:
    """Every line covered and finds strewn evenly: each block comes near the finds per hectare of the whole site."""
    ground = ground_of(hunt.sites.all()[0])[0][0]
    west, south, east, north = ground.searchable.bounds
    for line in np.arange(south, north, 2.0):
        walk(hunt, north_m=float(line))
    for x in np.arange(west + 10, east, 20):
        for y in np.arange(south + 10, north, 20):
            lon, lat = ground.local.inverse(x, y)
            make.find(hunt, hunt.leader, lon=float(lon), lat=float(lat))
    made, row = surface_of(hunt), density_of(hunt)
    assert made is not None
    assert np.nanmedian(made.density) == pytest.approx(row.finds_a_ha, rel=0.1)
    assert np.nanmax(made.density) < 1.4 * row.finds_a_ha


def test_locked_finds_are_counted_and_in_no_picture(hunt, committee, client_of) -> None:
    walk(hunt, north_m=0)
    strewn(hunt, 8, locked=True)
    assert surface_of(hunt) is None
    page = client_of(committee).get(reverse(PAGE, query={"site": hunt.sites.all()[0].code}))
    assert page.context["total"] == 8
    assert "A picture needs at least 5 finds" in page.text
    assert not FindspotView.objects.exists()


def test_blocks_of_one_class_are_joined_and_cover_the_ground_once() -> None:
    density = np.array([[np.nan, 1.0, 1.0], [5.0, 5.0, np.nan]])
    ground = np.array([[True, True, True], [True, True, False]])
    drawn = blocks(Surface(density, ground, 10.0, 20.0, 7))
    side = drawn["side"]
    assert sum(round(each["width"] / side) for each in drawn["blocks"]) == 5
    assert len(drawn["blocks"]) == 3
    assert drawn["metres"] == 30


def test_hours_are_those_of_the_roll_call(hunt, secretary, member) -> None:
    began = now() - timedelta(hours=8)
    for user, hours in ((member, 4), (secretary, 2)):
        make.attendance(
            hunt,
            user,
            signed_in_at=began,
            signed_out_at=began + timedelta(hours=hours),
            signed_out_by=hunt.leader,
        )
    make.attendance(hunt, make.person(), signed_in_at=began)  # still out
    for _ in range(3):
        make.find(hunt, member)
    blank = make.hunt(hunt.sites.all()[0], leader=hunt.leader, state="closed")
    make.attendance(blank, member, signed_in_at=began, signed_out_at=began + timedelta(hours=3))
    make.hunt(hunt.sites.all()[0], leader=hunt.leader, state="called off")
    made = efforts(secretary, {}, Find.objects.all())
    (season,), (site,) = made.seasons, made.sites
    assert (season.hunts, season.people, season.hours, season.finds) == (2, 4, 9.0, 3)
    assert season.hours_a_find == 3.0
    assert (site.words, site.hours) == (str(hunt.sites.all()[0]), 9.0)
    assert {row.words: row.hours_a_find for row in made.hunts} == {hunt.code: 2.0, blank.code: None}


def test_a_hunt_on_two_sites_is_in_its_season_and_in_no_site(leader, secretary) -> None:
    make.club()
    make.hunt(make.site(), make.site(), leader=leader, state="closed")
    made = efforts(secretary, {}, Find.objects.all())
    assert (len(made.seasons), made.sites, made.aside) == (1, [], 1)
    here = efforts(secretary, {"site": Site.objects.all()[0].code}, Find.objects.all())
    assert (here.seasons, here.hunts, here.aside) == ([], [], 1)


def test_counts_by_period_and_material(hunt, secretary, client_of) -> None:
    for period, materials in (("Roman", ["silver"]), ("Roman", ["copper alloy", "silver"]), ("", [])):
        find = make.find(hunt, hunt.leader, period=period)
        for material in materials:
            FindMaterial.objects.create(find=find, material=material)
    context = client_of(secretary).get(reverse(PAGE)).context
    assert [(bar["label"], bar["words"]) for bar in context["by_period"]["bars"]] == [
        ("Roman", "2"),
        ("No period given", "1"),
    ]
    assert {bar["label"]: bar["words"] for bar in context["by_material"]["bars"]} == {
        "Silver": "2",
        "Copper alloy": "1",
        "No material given": "1",
    }
    assert context["crossed"]["rows"][0] == ("Roman", [2, 1, ""])


def test_dates_are_spread_and_those_without_are_said(hunt, secretary, client_of) -> None:
    make.find(hunt, hunt.leader, year_from=1200, year_to=1400)
    make.find(hunt, hunt.leader, year_from=-1, year_to=1)
    make.find(hunt, hunt.leader, year_from=1200)
    page = client_of(secretary).get(reverse(PAGE))
    rows = page.context["dates"].rows
    assert sum(row["expected"] for row in rows) == pytest.approx(2)
    assert "2 finds with both years; 1 without is not in it" in page.text


def test_years_asked_for_are_the_years_shown(hunt, secretary, client_of) -> None:
    make.find(hunt, hunt.leader, year_from=-500_000, year_to=1300)
    make.find(hunt, hunt.leader, year_from=1200, year_to=1400)
    rows = (
        client_of(secretary)
        .get(reverse(PAGE, query={"year_from": 1100, "year_to": 1500}))
        .context["dates"]
        .rows
    )
    assert rows[0]["words"].startswith("1100")
    assert rows[-1]["words"].endswith(("1499", "1399"))


def test_an_empty_page_says_what_to_do(secretary, client_of) -> None:
    make.club()
    assert "No finds here yet" in client_of(secretary).get(reverse(PAGE)).text
    assert "No find is like that" in client_of(secretary).get(reverse(PAGE, query={"q": "crown"})).text


def test_patterns_ask_the_database_as_often_for_many_finds_and_sites_as_for_one(
    hunt, secretary, client_of
) -> None:
    client = client_of(secretary)

    def counted() -> int:
        with CaptureQueriesContext(connection) as seen:
            assert client.get(reverse(PAGE)).status_code == 200
        return len(seen)

    walk(hunt, north_m=0)
    make.find(hunt, hunt.leader, period="Roman", year_from=100, year_to=200)
    before = counted()
    for number in range(6):
        more = make.hunt(leader=hunt.leader, state="closed")
        walk(more, north_m=number)
        for find in range(4):
            make.find(more, hunt.leader, period=f"Period {find}", year_from=100 + find, year_to=300)
    assert Site.objects.count() == 7
    assert counted() == before
