"""The collections that go out: what a reader is shown, that questions act on just that, and that pages are stable."""

from typing import Any

import pytest
import shapely
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils.timezone import now
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from doors.collections import COLLECTIONS
from doors.feature import FULL, LOCKED, SQUARE, Box, Feature, Query
from finds.models import Find
from finds.points import point_of as find_point
from hunts.models import Hole, Track
from hunts.points import point_of as hole_point
from people.models import User
from tests import EVERYTHING, make
from tests.doors_world import READERS, account, arrange
from tests.views.access import as_readers
from tests.views.world import World, shared_world

pytestmark = pytest.mark.django_db
standing_world, world = shared_world(arrange)
EDGES = st.floats(0.14, 0.19).map(lambda x: round(x, 4)), st.floats(53.59, 53.63).map(lambda y: round(y, 4))
BOXES = st.builds(
    lambda x, y: Box(min(x), min(y), max(x), max(y)),
    st.tuples(EDGES[0], EDGES[0]),
    st.tuples(EDGES[1], EDGES[1]),
)


def every(name: str, user: User, **asked: Any) -> list[Feature]:
    return list(COLLECTIONS[name].every(user, Query(**asked), at=now()))


def ids(features: list[Feature]) -> list[str]:
    return [each.id for each in features]


@pytest.mark.parametrize("reader", as_readers(READERS))
def test_a_box_asks_what_the_reader_is_shown_and_nothing_else(reader: str, world: World) -> None:
    """OGC 17-069r4, /req/core/fc-bbox-response: what intersects the box, and all features without a geometry. The
    expected answer is worked out by shapely from the shapes that the same reader is given without a box."""
    user = account(world, reader)
    shown = {name: every(name, user) for name in COLLECTIONS}

    @settings(
        max_examples=30 if EVERYTHING else 6,
        suppress_health_check=[HealthCheck.function_scoped_fixture],
        derandomize=True,
    )
    @given(BOXES)
    def is_what_shapely_says(box: Box) -> None:
        for name in COLLECTIONS:
            meets = [each for each in shown[name] if not each.geometry or each.geometry.intersects(box.shape)]
            assert ids(every(name, user, bbox=box)) == ids(meets), name

    is_what_shapely_says()


@pytest.mark.parametrize("reader", as_readers(READERS))
def test_the_place_is_the_one_that_points_give_and_never_a_locked_one(reader: str, world: World) -> None:
    user = account(world, reader)
    for name, model, point_of in (("finds", Find, find_point), ("holes", Hole, hole_point)):
        rows: Any = model.objects.visible_to(user).select_related("hunt", "site")
        wanted = {str(row.pk): None if row.locked else point_of(row, user) for row in rows}
        shown = every(name, user)
        assert {each.id for each in shown} == set(wanted)
        for each in shown:
            point = wanted[each.id]
            if point is None:
                assert each.geometry is None
                assert each.properties["accuracy_m"] is None
            elif each.precision == FULL:
                assert (each.geometry.x, each.geometry.y) == (point.lon, point.lat)
            else:
                assert each.precision == SQUARE
                assert tuple(each.geometry.exterior.coords) == point.ring
                assert each.properties["accuracy_m"] is None


def test_a_member_gets_squares_and_the_committee_no_place_of_what_is_locked(world: World) -> None:
    other, committee = account(world, "other_member"), world.committee
    assert {each.precision for each in every("finds", other)} == {SQUARE, "no place recorded"}
    locked = {each.id: each for each in every("finds", committee) if each.precision == LOCKED}
    assert locked.keys() == {str(world.locked.pk), str(world.others_locked.pk)}
    assert str(world.others_locked.pk) not in ids(every("finds", other))


@pytest.mark.parametrize("reader", as_readers(READERS))
def test_every_property_is_described_and_every_shape_lies_in_the_extent(reader: str, world: World) -> None:
    user = account(world, reader)
    for name, collection in COLLECTIONS.items():
        shown, extent = every(name, user), collection.extent(user)
        for each in shown:
            assert set(collection.properties) - set(each.properties) <= {"landholders"}
            assert set(each.properties) <= set(collection.properties)
            if each.geometry is not None:
                assert extent.box is not None
                assert extent.box.shape.buffer(1e-9).covers(each.geometry), name
        if not any(each.geometry for each in shown):
            assert extent.box is None


@pytest.mark.parametrize("name", COLLECTIONS)
def test_pages_forward_and_back_hold_each_feature_once_while_rows_are_added(name: str, world: World) -> None:
    user, collection = world.committee, COLLECTIONS[name]
    whole = ids(every(name, user))
    page = collection.features(user, Query(limit=2), at=now())
    read = ids(page.features)
    assert page.previous_before is None
    while page.next_after is not None:
        make.find(world.hunt, world.member)
        page = collection.features(user, Query(limit=2, after=page.next_after), at=now())
        read += ids(page.features)
        if len(read) > len(whole) + 40:
            break
    assert read[: len(whole)] == whole
    assert len(set(read)) == len(read)
    back: list[str] = []
    while page.previous_before is not None:
        page = collection.features(user, Query(limit=2, before=page.previous_before), at=now())
        back = ids(page.features) + back
    assert back == read[: len(back)]


def test_landholders_are_named_to_those_who_may_see_them_alone(world: World) -> None:
    for reader in READERS:
        said = [each.properties.get("landholders") for each in every("sites", account(world, reader))]
        assert ("Ada Warp (owner)" in said) == (reader == "secretary")
        assert (set(said) == {None}) == (reader != "secretary")


def test_ground_covered_is_ones_own_for_members_and_all_for_planners(world: World) -> None:
    (mine,) = every("ground-covered", world.member)
    (all_,) = every("ground-covered", account(world, "other_leader"))
    assert every("ground-covered", account(world, "other_member")) == []
    assert (mine.properties["tracks"], all_.properties["tracks"]) == ("own", "all")
    assert mine.properties["covered_m2"] < all_.properties["covered_m2"]
    mine_m2 = Track.objects.get(user=world.member).length_m * 1.5
    assert mine.properties["covered_m2"] == pytest.approx(mine_m2, rel=0.1)
    assert all_.geometry is not None
    assert all_.geometry.buffer(2e-5).covers(mine.geometry)


@pytest.mark.parametrize("name", COLLECTIONS)
def test_questions_to_the_database_do_not_grow_with_rows(name: str, world: World) -> None:
    def asked() -> int:
        user = User.objects.get(pk=world.secretary.pk)
        with CaptureQueriesContext(connection) as queries:
            COLLECTIONS[name].features(user, Query(bbox=Box(0.1, 53.5, 0.1513, 53.7)), at=now())
            COLLECTIONS[name].extent(user)
        return len(queries)

    before = asked()
    for _ in range(4):
        site = make.site(by=world.secretary)
        hunt = make.hunt(site, leader=world.leader)
        make.find(hunt, world.member, hole=make.hole(hunt, world.member))
    assert asked() == before


def test_a_box_over_the_antimeridian_is_two(world: World) -> None:
    east = make.find(world.hunt, world.committee, lon=179.9995, lat=-16.5)
    west = make.find(world.hunt, world.committee, lon=-179.9995, lat=-16.5)
    for user in (world.committee, account(world, "other_member")):
        shown = [each for each in every("finds", user, bbox=Box(179.99, -17, -179.99, -16)) if each.geometry]
        assert ids(shown) == [str(east.pk), str(west.pk)]
        shown = [each for each in every("finds", user, bbox=Box(179.9, -17, 179.99, -16)) if each.geometry]
        assert ids(shown) == []
    assert shapely.get_num_geometries(Box(179.99, -17, -179.99, -16).shape) == 2
