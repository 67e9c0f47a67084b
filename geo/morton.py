"""One integer for a place, so that a map can count finds by tile: Morton code of its Web Mercator tile at
zoom 26.
"""

import math

CELL_ZOOM = 26
_TILES = 1 << CELL_ZOOM
_MAX_LAT = 85.0511287798066
_MASKS = (
    (16, 0x0000FFFF0000FFFF),
    (8, 0x00FF00FF00FF00FF),
    (4, 0x0F0F0F0F0F0F0F0F),
    (2, 0x3333333333333333),
    (1, 0x5555555555555555),
)


def _spread(n: int) -> int:
    for shift, mask in _MASKS:
        n = (n | (n << shift)) & mask
    return n


def tile_of(lon: float, lat: float) -> tuple[int, int]:
    """Column and row of the tile at zoom 26, counted from the north-west. Latitude is held within ±85.05."""
    lat = max(-_MAX_LAT, min(_MAX_LAT, lat))
    x = (lon + 180) / 360
    y = 0.5 - math.asinh(math.tan(math.radians(lat))) / (2 * math.pi)
    return min(max(int(x * _TILES), 0), _TILES - 1), min(max(int(y * _TILES), 0), _TILES - 1)


def cell_of(lon: float, lat: float) -> int:
    """The 52-bit Morton code, row bit above column bit. Shifting right by 2 (26 - z) gives the tile at zoom
    z.
    """
    x, y = tile_of(lon, lat)
    return (_spread(y) << 1) | _spread(x)


def cells_across(
    west: float, south: float, east: float, north: float, zoom: int, *, most: int
) -> list[int] | None:
    """Morton codes of the tiles at `zoom` that a frame in degrees touches, or None where there are more than `most`."""
    shift = CELL_ZOOM - zoom
    (left, top), (right, bottom) = tile_of(west, north), tile_of(east, south)
    columns = range(left >> shift, (right >> shift) + 1)
    rows = range(top >> shift, (bottom >> shift) + 1)
    if len(columns) * len(rows) > most:
        return None
    return [(_spread(y) << 1) | _spread(x) for y in rows for x in columns]
