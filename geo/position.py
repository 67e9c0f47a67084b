"""Reads a position however people write one, keeping the text beside what was computed from it."""

import re
from collections.abc import Callable

from geo.areas import BRITISH, IRISH, SYSTEM_NAMES, Country, System, is_in
from geo.errors import PositionError, shown
from geo.read_common import Position, clean, split_label
from geo.read_degrees import read_degrees
from geo.read_letters import read_letters
from geo.read_links import coordinates_in_link, looks_like_link
from geo.read_numbers import read_numbers
from geo.read_utm import read_mgrs, read_utm
from tongue import noop
from tongue import say as _

__all__ = ["Country", "Position", "System", "parse_position"]

_MAX_TEXT = 4000
_COUNTRY_NAMES = {
    Country.GB: noop("Great Britain"),
    Country.IE: noop("Ireland"),
    Country.NI: noop("Northern Ireland"),
    Country.IM: noop("the Isle of Man"),
    Country.US: noop("the United States"),
    Country.SE: noop("Sweden"),
    Country.NO: noop("Norway"),
    Country.DK: noop("Denmark"),
    Country.NL: noop("the Netherlands"),
}
_EXAMPLE = noop(
    "give a grid reference such as TA 4550 1930, or latitude and longitude such as 53.6512, 0.2003"
)


def parse_position(text: str, *, country: Country | None = None) -> Position:
    """One place in WGS84 from a grid reference, a pair of numbers, degrees in any usual form, or a map link.

    A lettered or military reference is a square and gives its centre; a pair of metres or degrees gives the
    point. `country` decides what bare eastings and northings mean and catches a latitude and longitude
    written the wrong way round. Raises PositionError naming the value and the remedy; nothing is guessed.
    Source: Ordnance Survey, A Guide to Coordinate Systems in Great Britain v3.6; RFC 5870 for geo: addresses.
    """
    if not text.strip():
        raise PositionError(_("No position was given"), value=text, remedy=_(_EXAMPLE))
    if len(text) > _MAX_TEXT:
        raise PositionError(
            _("That text is too long to be one position"), value=shown(text), remedy=_(_EXAMPLE)
        )
    found = _read(text, country)
    _check_country(found, country)
    return found


def _read(text: str, country: Country | None) -> Position:
    if looks_like_link(text):
        words, from_view = coordinates_in_link(text)
        inner = _read(words, country)
        note = _("taken from the middle of a map view") if from_view else _("taken from a link")
        return inner.with_text(text, note)
    label, body = split_label(clean(text))
    readers: tuple[Callable[[str, str, System | None, Country | None], Position | None], ...]
    readers = (read_mgrs, read_utm, read_letters, read_numbers, read_degrees)
    for reader in readers:
        found = reader(body, text, label, country)
        if found is not None:
            return found
    raise PositionError(
        _("“%(text)s” is not a position that can be read") % {"text": shown(text)},
        value=text,
        remedy=_(_EXAMPLE),
    )


def _check_country(found: Position, country: Country | None) -> None:
    """Refuses what lies outside the country, saying so if latitude and longitude look swapped."""
    lon, lat = found.lon, found.lat
    if found.system is System.WGS84 and _looks_swapped(lon, lat, country):
        raise PositionError(
            _("“%(text)s” reads as latitude %(lat)s and longitude %(lon)s, which looks swapped")
            % {"text": shown(found.text), "lat": f"{lat:g}", "lon": f"{lon:g}"},
            value=found.text,
            remedy=_("give latitude first, such as %(lon)s, %(lat)s, or mark each with N, S, E or W")
            % {"lon": f"{lon:g}", "lat": f"{lat:g}"},
        )
    if country is None or is_in(country, lon, lat):
        return
    expected = _(_COUNTRY_NAMES[country])
    wrong_grid = (country in BRITISH and found.system in (System.IRISH_GRID, System.ITM)) or (
        country in IRISH and found.system is System.NATIONAL_GRID
    )
    reason = (
        _(", because it is a reference on the %(system_names)s")
        % {"system_names": SYSTEM_NAMES[found.system]}
        if wrong_grid
        else ""
    )
    raise PositionError(
        _("“%(text)s” (%(lat)s, %(lon)s) does not lie in %(expected)s%(reason)s")
        % {
            "text": shown(found.text),
            "lat": f"{lat:.4f}",
            "lon": f"{lon:.4f}",
            "expected": expected,
            "reason": reason,
        },
        value=found.text,
        remedy=_("check it, or change the site's country"),
    )


def _looks_swapped(lon: float, lat: float, country: Country | None) -> bool:
    if abs(lon) > 90 or country is Country.OTHER:
        return False
    if country is not None:
        return is_in(country, lat, lon) and not is_in(country, lon, lat)
    known = [c for c in Country if c is not Country.OTHER]
    home = (Country.GB, Country.IE)
    return any(is_in(c, lat, lon) for c in home) and not any(is_in(c, lon, lat) for c in known)


def parse_positions(text: str, *, country: Country | None = None) -> tuple[Position, ...]:
    """One position a line; blank lines and lines starting with # are passed over. Raises naming the line."""
    found = []
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip() or re.match(r"\s*#", line):
            continue
        try:
            found.append(parse_position(line, country=country))
        except PositionError as error:
            raise PositionError(
                _("Line %(number)s: %(what)s") % {"number": number, "what": error.what},
                value=error.value,
                remedy=error.remedy,
            ) from error
    return tuple(found)
