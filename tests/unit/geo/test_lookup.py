"""Tiles as numbers, and what an error says."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geo.errors import BoundaryError, GeoError, PositionError, shown
from geo.morton import CELL_ZOOM, cell_of, cells_across, tile_of


def tile_of_cell(cell):
    """Column and row of a Morton code at whatever zoom, read bit by bit."""
    bits = f"{cell:052b}"
    return int(bits[1::2], 2), int(bits[0::2], 2)


@pytest.mark.parametrize(
    ("lon", "lat", "tile"),
    [
        (-180, 85.0511287798066, (0, 0)),
        (0, 0, (1 << 25, 1 << 25)),
        (180, -85.0511287798066, ((1 << 26) - 1, (1 << 26) - 1)),
        (0, 89, (1 << 25, 0)),
        (0, -89, (1 << 25, (1 << 26) - 1)),
    ],
)
def test_tiles_start_in_the_north_west(lon, lat, tile):
    assert tile_of(lon, lat) == tile


def test_a_known_tile():
    """OGC Two Dimensional Tile Matrix Set 2.0 annex D.1 (WebMercatorQuad): at zoom 1 the east-north tile is
    1, 0.
    """
    assert tile_of_cell(cell_of(10, 50) >> (2 * 25)) == (1, 0)
    assert cell_of(10, 50) >> (2 * 25) == 0b01
    assert cell_of(-10, -50) >> (2 * 25) == 0b10


@settings(max_examples=100, deadline=None)
@given(
    lon=st.floats(-179, 179),
    lat=st.floats(-84, 84),
    wide=st.floats(0, 1),
    high=st.floats(0, 1),
    at=st.tuples(st.floats(0, 1), st.floats(0, 1)),
    zoom=st.integers(0, 10),
)
def test_whatever_lies_in_a_frame_lies_in_one_of_its_tiles(lon, lat, wide, high, at, zoom):
    tiles = cells_across(lon, lat, lon + wide, lat + high, zoom, most=100)
    assert tiles is not None
    assert len(set(tiles)) == len(tiles)
    inside = lon + at[0] * wide, lat + at[1] * high
    assert cell_of(*inside) >> 2 * (CELL_ZOOM - zoom) in tiles


def test_a_frame_of_too_many_tiles_names_none():
    assert cells_across(-10, 49, 2, 61, 10, most=64) is None
    assert cells_across(-180, -85, 180, 85, 0, most=1) == [0]


@settings(max_examples=100, deadline=None)
@given(lon=st.floats(-180, 179.999), lat=st.floats(-85, 85), zoom=st.integers(0, 26))
def test_the_code_unfolds_to_the_tile_at_every_zoom(lon, lat, zoom):
    cell = cell_of(lon, lat)
    assert 0 <= cell < 1 << 52
    x, y = tile_of(lon, lat)
    assert tile_of_cell(cell >> (2 * (26 - zoom))) == (x >> (26 - zoom), y >> (26 - zoom))


def test_neighbours_share_their_first_bits():
    assert cell_of(0.2, 53.65) >> 20 == cell_of(0.20001, 53.65001) >> 20


def test_errors_are_one_sentence_of_value_and_remedy():
    error = PositionError("“x” is wrong.", value="x", remedy="give y.")
    assert str(error) == "“x” is wrong; give y."
    assert (error.value, error.remedy) == ("x", "give y")
    assert isinstance(error, GeoError)
    assert isinstance(BoundaryError("a", value=1, remedy="b"), ValueError)


def test_quoted_values_are_kept_short():
    assert shown("a  b\nc") == "a b c"
    assert len(shown("x" * 500)) == 60
