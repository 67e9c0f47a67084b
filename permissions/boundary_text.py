"""A boundary as somebody gave it, GeoJSON or a list of corners, read and checked for one country."""

import re

from geo.areas import Country, is_in
from geo.errors import BoundaryError
from geo.polygon import CheckedBoundary, boundary_from_references, check_boundary

MOST_CORNERS = 2_000
_EXPORT = re.compile(r'"type"\s*:\s*"(Feature|FeatureCollection|GeometryCollection)"')
_NAMES = {
    Country.GB: "Great Britain",
    Country.IM: "the Isle of Man",
    Country.NI: "Northern Ireland",
    Country.IE: "Ireland",
}


def read_boundary(text: str, *, country: Country) -> CheckedBoundary:
    """The checked boundary in `text`: GeoJSON, or one grid reference or latitude and longitude a line.

    A bare polygon comes from the map or a hand: a line that crosses itself is asked about. A feature or collection
    is an export from elsewhere, and is mended with a note. Raises GeoError naming the value and the remedy, quickly
    even for a paste of many megabytes.
    """
    stripped = text.strip()
    if stripped.startswith(("{", "[")):
        checked = check_boundary(stripped, drawn=not _EXPORT.search(stripped[:2000]), country=country)
    else:
        lines = stripped.count("\n") + 1
        if lines > MOST_CORNERS:
            raise BoundaryError(
                f"{lines:,} lines are too many corners to type",
                value=lines,
                remedy=f"give at most {MOST_CORNERS:,} lines, or paste the boundary as GeoJSON",
            )
        checked = boundary_from_references(stripped, country)
    _check_country(checked, country)
    return checked


def _check_country(checked: CheckedBoundary, country: Country) -> None:
    west, south, east, north = checked.bounds
    lon, lat = (west + east) / 2, (south + north) / 2
    if not is_in(country, lon, lat):
        raise BoundaryError(
            f"The boundary lies round {lat:.4f}, {lon:.4f}, outside {_NAMES.get(country, 'that country')}",
            value=(lon, lat),
            remedy="check it, or choose the law that applies there",
        )
