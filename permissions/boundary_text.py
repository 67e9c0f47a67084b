"""A boundary or a line as somebody gave it, GeoJSON or a list of points, read and checked for one country."""

import json
import re
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from geo.areas import Country, is_in
from geo.errors import BoundaryError
from geo.polygon import CheckedBoundary, boundary_from_references, check_boundary
from geo.position import parse_positions
from tongue import figure

MOST_CORNERS = 2_000
_EXPORT = re.compile(r'"type"\s*:\s*"(Feature|FeatureCollection|GeometryCollection)"')
_NAMES = {
    Country.GB: _lazy("Great Britain"),
    Country.IM: _lazy("the Isle of Man"),
    Country.NI: _lazy("Northern Ireland"),
    Country.IE: _lazy("Ireland"),
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
                _("%(lines)s lines are too many corners to type") % {"lines": figure(f"{lines:,}")},
                value=lines,
                remedy=_("give at most %(most_corners)s lines, or paste the boundary as GeoJSON")
                % {"most_corners": figure(f"{MOST_CORNERS:,}")},
            )
        checked = boundary_from_references(stripped, country)
    _check_country(checked, country)
    return checked


def _check_country(checked: CheckedBoundary, country: Country) -> None:
    west, south, east, north = checked.bounds
    lon, lat = (west + east) / 2, (south + north) / 2
    if not is_in(country, lon, lat):
        raise BoundaryError(
            _("The boundary lies round %(lat)s, %(lon)s, outside %(get)s")
            % {
                "lat": f"{lat:.4f}",
                "lon": f"{lon:.4f}",
                "get": _NAMES.get(country, _("that country")),
            },
            value=(lon, lat),
            remedy=_("check it, or choose the law that applies there"),
        )


def read_line(text: str, *, country: Country) -> dict[str, Any]:
    """A GeoJSON line out of what was drawn or typed. Raises GeoError naming the value and the remedy."""
    stripped = text.strip()
    if not stripped.startswith(("{", "[")):
        points = parse_positions(stripped, country=country)
        if len(points) < 2:
            raise BoundaryError(
                _("%(points)s point was given") % {"points": len(points)},
                value=len(points),
                remedy=_("give at least two, one on each line"),
            )
        return {"type": "LineString", "coordinates": [[p.lon, p.lat] for p in points]}
    try:
        found = json.loads(stripped)
    except (ValueError, RecursionError) as error:
        raise BoundaryError(
            _("The line is not whole GeoJSON"),
            value=stripped[:60],
            remedy=_("paste all of it, or draw the line again"),
        ) from error
    if not isinstance(found, dict):
        raise BoundaryError(
            _("The GeoJSON is not an object"), value=stripped[:60], remedy=_("draw the line again")
        )
    return found.get("geometry") or found if found.get("type") == "Feature" else found
