"""How finely each kind of reader sees a point, locked and not."""

from dataclasses import dataclass, fields, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geo.position import Country
from people.sensitivity import SQUARE_M, Precision, Reader, precision_for, show_point, show_record

FULL, SQUARE, NOTHING = Precision.FULL, Precision.SQUARE, Precision.NOTHING
FINENESS = {NOTHING: 0, SQUARE: 1, FULL: 2}
LON, LAT = 0.1512, 53.6007  # TA at sea, east of Holderness

# reader, precision while open, precision while locked
TABLE = [
    (Reader(), NOTHING, NOTHING),
    (Reader(is_member=True), SQUARE, NOTHING),
    (Reader(is_member=True, is_finder=True), FULL, FULL),
    (Reader(is_member=True, leads_hunt=True), FULL, FULL),
    (Reader(is_member=True, sees_findspots=True), FULL, NOTHING),  # the secretary
    (Reader(is_member=True, sees_findspots=True, sees_locked=True), FULL, FULL),  # the committee
    (Reader(is_landholder_with_terms=True), FULL, NOTHING),
    (Reader(is_landholder_with_terms=False), NOTHING, NOTHING),
]


@pytest.mark.parametrize(("reader", "while_open", "while_locked"), TABLE)
def test_each_kind_of_reader(reader: Reader, while_open: Precision, while_locked: Precision) -> None:
    seen = [precision_for(reader, locked=locked) for locked in (False, True)]
    assert seen == [while_open, while_locked]


readers = st.builds(Reader, **{field.name: st.booleans() for field in fields(Reader)})
flags = st.sampled_from([field.name for field in fields(Reader)])


@given(readers)
def test_locking_never_shows_more(reader: Reader) -> None:
    unlocked, locked = (FINENESS[precision_for(reader, locked=each)] for each in (False, True))
    assert locked <= unlocked


@given(readers, flags, st.booleans())
def test_taking_a_right_away_never_shows_more(reader: Reader, flag: str, locked: bool) -> None:
    less = precision_for(replace(reader, **{flag: False}), locked=locked)
    assert FINENESS[less] <= FINENESS[precision_for(reader, locked=locked)]


@given(readers)
def test_a_locked_point_is_never_shown_as_a_square(reader: Reader) -> None:
    # A square of a locked find would still say which fields to look in.
    assert precision_for(reader, locked=True) in {FULL, NOTHING}


def test_nothing_is_shown_of_a_point_that_nobody_fixed() -> None:
    for lon, lat in [(None, LAT), (LON, None), (None, None)]:
        assert show_point(lon, lat, 5.0, precision=FULL, country=Country.GB) is None


def test_precision_nothing_shows_nothing() -> None:
    assert show_point(LON, LAT, 5.0, precision=NOTHING, country=Country.GB) is None


def test_full_precision_gives_the_point_and_its_accuracy() -> None:
    shown = show_point(LON, LAT, 5.0, precision=FULL, country=Country.GB)
    assert shown is not None
    assert (shown.lon, shown.lat, shown.accuracy_m, shown.ring) == (LON, LAT, 5.0, ())
    assert shown.label.startswith("TA")


@given(st.floats(-5.5, 1.5), st.floats(50.2, 55.0), st.floats(-0.0009, 0.0009), st.floats(-0.0009, 0.0009))
def test_the_square_tells_two_points_within_it_no_further_apart(
    lon: float, lat: float, east: float, north: float
) -> None:
    """Points in one kilometre square give the same answer to the last figure."""
    one, two = (
        show_point(x, y, 2.0, precision=SQUARE, country=Country.GB)
        for x, y in ((lon, lat), (lon + east, lat + north))
    )
    assert one is not None
    assert two is not None
    assert (one == two) is (one.label == two.label)


@given(st.floats(-5.5, 1.5), st.floats(50.2, 55.0))
def test_the_square_is_a_kilometre_wide_and_holds_the_point_only_somewhere_inside(
    lon: float, lat: float
) -> None:
    # A degree of latitude is 111.1 to 111.7 km (WGS 84), so a 1 km square spans about 0.009 degrees of it, and more
    # where the grid is turned against north; never less than 0.008.
    shown = show_point(lon, lat, 2.0, precision=SQUARE, country=Country.GB)
    assert shown is not None
    lats = [y for _, y in shown.ring]
    assert SQUARE_M == 1000
    assert 0.008 < max(lats) - min(lats) < 0.012
    assert shown.accuracy_m is None
    assert min(lats) <= lat <= max(lats)


def test_a_square_reference_has_two_figures_each_way() -> None:
    """Four figures name a kilometre square: Ordnance Survey, A guide to coordinate systems in Great Britain, 7.2."""
    shown = show_point(LON, LAT, 2.0, precision=SQUARE, country=Country.GB)
    assert shown is not None
    figures = shown.label.split("(")[0]
    assert sum(character.isdigit() for character in figures) == 4


@dataclass(frozen=True)
class Ground:
    country: Country = Country.GB


@dataclass
class Record:
    lon: float | None = LON
    lat: float | None = LAT
    accuracy_m: float | None = 5.0
    locked: bool = False
    site: Ground = Ground()


def test_a_record_is_shown_by_its_own_lock() -> None:
    secretary = Reader(is_member=True, sees_findspots=True)
    assert show_record(Record(), secretary) is not None
    assert show_record(Record(locked=True), secretary) is None
