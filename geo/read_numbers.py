"""Reads eastings and northings in metres; a label or the country says which grid they are on."""

import re

from geo.areas import BRITISH, IRISH, Country, System
from geo.errors import PositionError, shown
from geo.read_common import Position, placed
from geo.transform import Place, from_irish_grid, from_itm, from_national_grid, from_sweref99_tm
from geo.utm import from_utm
from tongue import say as _

_NUMBER = r"(\d{4,8}(?:\.\d+)?)\s*m?"
_EAST = r"(?:m?\s*e(?:ast(?:ing)?s?)?\.?|x)"
_NORTH = r"(?:m?\s*n(?:orth(?:ing)?s?)?\.?|y)"
_GAP = r"[\s,;/]+"
_EAST_FIRST = re.compile(
    rf"(?:{_EAST}\s*[:=]?\s*)?{_NUMBER}(?:\s*{_EAST})?{_GAP}(?:{_NORTH}\s*[:=]?\s*)?{_NUMBER}(?:\s*{_NORTH})?",
    re.I,
)
_NORTH_FIRST = re.compile(
    rf"(?:{_NORTH}\s*[:=]?\s*{_NUMBER}{_GAP}{_EAST}\s*[:=]?\s*{_NUMBER}"
    rf"|{_NUMBER}\s*{_NORTH}{_GAP}{_NUMBER}\s*{_EAST})",
    re.I,
)
_ITM_LEAST_NORTHING = 500_000
_BY_COUNTRY = {Country.SE: System.SWEREF99_TM, Country.DK: System.ETRS89_UTM}
_DENMARK_ZONE = 32


def read_numbers(body: str, text: str, label: System | None, country: Country | None) -> Position | None:
    """Eastings and northings, or None if the text is of another form.

    Raises PositionError when nothing says which grid they are on, or when they are too few to be metres.
    """
    pair = _pair(body)
    if pair is None:
        _refuse_short(body, text)
        return None
    first, second = pair
    whole = [len(n.split(".")[0].lstrip("0")) for n in pair]
    if max(whole) < 6 and not (label and max(whole) == 5):
        _refuse_short(body, text)
        return None
    east, north = float(first), float(second)
    system = label if label in _PLACERS else _system(east, north, text, country)
    if system in (System.SWEREF99_TM, System.ETRS89_UTM) and east > 1_000_000 > north:
        east, north = north, east  # northings of seven figures cannot be taken for eastings of six
    decimals = min(len(n.partition(".")[2]) for n in pair)
    return placed(_PLACERS[system](east, north), system, 10.0**-decimals, text)


def _pair(body: str) -> tuple[str, str] | None:
    if m := _NORTH_FIRST.fullmatch(body):
        north, east = (g for g in m.groups() if g)
        return east, north
    if m := _EAST_FIRST.fullmatch(body):
        return m[1], m[2]
    return None


def _denmark(easting: float, northing: float) -> Place:
    return from_utm(_DENMARK_ZONE, easting, northing)


_PLACERS = {
    System.NATIONAL_GRID: from_national_grid,
    System.IRISH_GRID: from_irish_grid,
    System.ITM: from_itm,
    System.SWEREF99_TM: from_sweref99_tm,
    System.ETRS89_UTM: _denmark,
}


def _system(east: float, north: float, text: str, country: Country | None) -> System:
    """The grid of bare metres in this country. Irish Grid northings end where those of ITM begin."""
    if country in BRITISH:
        return System.NATIONAL_GRID
    if country in IRISH:
        return System.ITM if north >= _ITM_LEAST_NORTHING else System.IRISH_GRID
    if country in _BY_COUNTRY:
        return _BY_COUNTRY[country]
    raise PositionError(
        _("“%(text)s” could be metres on more than one grid") % {"text": shown(text)},
        value=text,
        remedy=_("put the grid in front (OSGB, Irish Grid, ITM or a UTM zone), or set the site's country"),
    )


def _refuse_short(body: str, text: str) -> None:
    """Figures without letters, or an easting run into its northing, get a message of their own."""
    if re.fullmatch(r"\d{2,5}[ ,]+\d{2,5}", body) and not _could_be_degrees(body):
        raise PositionError(
            _("“%(text)s” has figures but no grid letters") % {"text": shown(text)},
            value=text,
            remedy=_("put the letters in front, such as TA 4550 1930, or give full metres"),
        )
    if re.fullmatch(r"\d{6,}", body):
        raise PositionError(
            _("“%(text)s” is one number") % {"text": shown(text)},
            value=text,
            remedy=_("put grid letters in front, or a space between the easting and the northing"),
        )


def _could_be_degrees(body: str) -> bool:
    first, second = (int(n) for n in re.findall(r"\d+", body))
    return first <= 90 and second <= 180 and not any(len(n) > 3 for n in re.findall(r"\d+", body))
