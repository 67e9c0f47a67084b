"""Reads UTM coordinates and military grid references."""

import re

from geo.areas import Country, System
from geo.errors import PositionError, shown
from geo.letters import FIGURES_SIZE_M
from geo.read_common import Position, placed
from geo.read_letters import inside_square
from geo.utm import BANDS, from_utm, square_origin
from tongue import figure
from tongue import say as _

_MGRS = re.compile(r"(\d{1,2}) ?([C-HJ-NP-X]) ?([A-HJ-NP-Z][A-HJ-NP-V]) ?((?:\d+ ?){0,3})")
_UTM = re.compile(
    r"(?:zone ?)?(\d{1,2}) ?([a-z]|north|south)?[ ,:]+(?:e ?[:=]? ?)?(\d{5,7}(?:\.\d+)?) ?m?(?: ?e)?"
    r"[ ,]+(?:n ?[:=]? ?)?(\d{1,8}(?:\.\d+)?) ?m?(?: ?n)?",
    re.I,
)
_BAND_SLACK_DEG = 0.5


def read_mgrs(body: str, text: str, label: System | None, country: Country | None) -> Position | None:
    """A military grid reference, read to the centre of its square, or None if the text is of another form."""
    match = _MGRS.fullmatch(body.upper())
    if match is None:
        return None
    zone, band, letters = int(match[1]), match[2], match[3]
    if not 1 <= zone <= 60:
        raise PositionError(
            _("UTM zone %(zone)s does not exist") % {"zone": zone},
            value=text,
            remedy=_("give a zone from 1 to 60"),
        )
    east, north = square_origin(zone, band, letters)
    de, dn, size = inside_square(match[4], f"{zone}{band} {letters}", text)
    place = from_utm(zone, east + de + size / 2, north + dn + size / 2, south=band < "N")
    _check_band(place.lat, band, text, size)
    return placed(place, System.MGRS, size, text)


def read_utm(body: str, text: str, label: System | None, country: Country | None) -> Position | None:
    """Zone, band or hemisphere, easting and northing; or None if the text is of another form.

    A letter after the zone is its latitude band where the northing agrees; N and S else mean the hemisphere.
    """
    match = _UTM.fullmatch(body)
    if match is None:
        return None
    zone, letter = int(match[1]), (match[2] or "").upper()
    if not letter:
        raise PositionError(
            _("“%(text)s” has a UTM zone without its letter") % {"text": shown(text)},
            value=text,
            remedy=_("add the latitude band or N or S, such as %(zone)sU or %(zone)sN") % {"zone": zone},
        )
    decimals = min(len(n.partition(".")[2]) for n in (match[3], match[4]))
    south = _is_south(letter, zone, float(match[3]), float(match[4]), text)
    place = from_utm(zone, float(match[3]), float(match[4]), south=south)
    return placed(place, System.UTM, 10.0**-decimals, text)


def _is_south(letter: str, zone: int, easting: float, northing: float, text: str) -> bool:
    if letter in ("NORTH", "SOUTH"):
        return letter == "SOUTH"
    if letter not in BANDS:
        raise PositionError(
            _("%(letter)s is not a latitude band") % {"letter": letter},
            value=text,
            remedy=_("give a band from C to X (no I or O), or N or S"),
        )
    if letter == "N":
        return False
    if letter == "S":
        return not _in_band(from_utm(zone, easting, northing).lat, "S", 0.0)
    south = letter < "N"
    _check_band(from_utm(zone, easting, northing, south=south).lat, letter, text, 0.0)
    return south


def _in_band(lat: float, band: str, slack_deg: float) -> bool:
    bottom = -80 + 8 * BANDS.index(band)
    top = bottom + (12 if band == "X" else 8)
    return bottom - slack_deg <= lat <= top + slack_deg


def _check_band(lat: float, band: str, text: str, size_m: float) -> None:
    slack = _BAND_SLACK_DEG + size_m / FIGURES_SIZE_M[0]
    if not _in_band(lat, band, slack):
        raise PositionError(
            _("“%(text)s” lies at latitude %(lat)s, which is not in band %(band)s")
            % {"text": shown(text), "lat": figure(f"{lat:.2f}"), "band": band},
            value=text,
            remedy=_("check the band letter and the northing"),
        )
