"""Reads latitude and longitude: decimal degrees, degrees and minutes, degrees, minutes and seconds, marked or
bare.
"""

import math
from dataclasses import dataclass

from geo.areas import Country, System
from geo.errors import PositionError, shown
from geo.read_common import Position
from geo.read_tokens import Kind, Token, split_pair, tokenise
from tongue import say as _

_DEGREE_M = 111_200.0


@dataclass(frozen=True)
class Angle:
    """Signed degrees, the size of the last digit in degrees and the axis if it was named ('lat' or 'lon')."""

    degrees: float
    step_deg: float
    axis: str


def read_degrees(body: str, text: str, label: System | None, country: Country | None) -> Position | None:
    """Latitude and longitude, or None if the text is of another form. Raises PositionError if it is a broken
    one.

    Without hemisphere letters latitude comes first. Source of the trap of the letter s: it is seconds when
    lower-case after minutes, south otherwise (house rule).
    """
    tokens = tokenise(body)
    if tokens is None or not any(t.kind is Kind.NUMBER for t in tokens):
        return None
    pair = split_pair(tokens)
    if pair is None:
        raise _error(
            text,
            _("does not hold one latitude and one longitude"),
            _("give two angles, such as 53.6512, 0.2003"),
        )
    first, second = (_angle(part, text) for part in pair)
    if first.axis and first.axis == second.axis:
        which = _("latitudes") if first.axis == "lat" else _("longitudes")
        raise _error(
            text,
            _("has two %(which)s") % {"which": which},
            _("give one angle north or south and one east or west"),
        )
    lat, lon = (second, first) if first.axis == "lon" or second.axis == "lat" else (first, second)
    _check_range(lat, lon, text)
    # Devices drop trailing zeros, so the finer of the two says how finely both were given.
    step_m = min(lat.step_deg, lon.step_deg) * _DEGREE_M
    return Position(lon.degrees, lat.degrees, System.WGS84, step_m, "none", 0.0, text.strip())


def _error(text: str, what: str, remedy: str) -> PositionError:
    return PositionError(f"“{shown(text)}” {what}", value=text, remedy=remedy)


def _angle(tokens: list[Token], text: str) -> Angle:
    numbers = [t for t in tokens if t.kind is Kind.NUMBER]
    letters = [t.text for t in tokens if t.kind is Kind.HEMISPHERE]
    labels = [t.text for t in tokens if t.kind is Kind.AXIS]
    if not 1 <= len(numbers) <= 3:
        raise _error(
            text,
            _("has an angle with %(numbers)s numbers") % {"numbers": len(numbers)},
            _("give degrees, minutes and seconds at most"),
        )
    _check_units(tokens, text)
    values = [float(n.text) for n in numbers]
    _check_parts(numbers, values, text)
    sign = -1.0 if numbers[0].text.startswith("-") else 1.0
    if len(letters) > 1:
        raise _error(
            text, _("has an angle with two compass letters"), _("give one of N, S, E or W to each angle")
        )
    if letters and numbers[0].text[0] in "+-":
        raise _error(text, _("has both a sign and a compass letter"), _("give one or the other"))
    if letters and letters[0] in "SW":
        sign = -1.0
    degrees = sign * math.fsum(abs(v) / 60**i for i, v in enumerate(values))
    step = 10.0 ** -len(numbers[-1].text.partition(".")[2]) / 60 ** (len(numbers) - 1)
    return Angle(degrees, step, _axis(letters, labels, text))


def _axis(letters: list[str], labels: list[str], text: str) -> str:
    named = {"lat" if letter in "NS" else "lon" for letter in letters} | set(labels)
    if len(named) > 1:
        raise _error(
            text, _("calls one angle both latitude and longitude"), _("check the letters and the labels")
        )
    return next(iter(named), "")


def _check_units(tokens: list[Token], text: str) -> None:
    """Marks must run degrees, minutes, seconds; a number with no mark takes the next place."""
    order = {Kind.DEGREES: 0, Kind.MINUTES: 1, Kind.SECONDS: 2}
    place = -1
    for token in tokens:
        if token.kind is Kind.NUMBER:
            place += 1
        elif token.kind in order and order[token.kind] != place:
            raise _error(
                text, _("has marks out of order"), _("give degrees °, then minutes ', then seconds \"")
            )


def _check_parts(numbers: list[Token], values: list[float], text: str) -> None:
    for number in numbers[1:]:
        if number.text[0] in "+-":
            raise _error(
                text,
                _("has a sign on %(text)s, inside an angle") % {"text": number.text},
                _("put the sign in front of the degrees"),
            )
    for number in numbers[:-1]:
        if "." in number.text:
            raise _error(
                text,
                _("has decimals in %(text)s before a smaller part") % {"text": number.text},
                _("put decimals in the last part"),
            )
    for value, name in zip(values[1:], (_("minutes"), _("seconds")), strict=False):
        if value >= 60:
            raise _error(
                text,
                _("has %(value)s %(name)s") % {"value": f"{value:g}", "name": name},
                _("give %(name)s below 60") % {"name": name},
            )


def _check_range(lat: Angle, lon: Angle, text: str) -> None:
    if abs(lat.degrees) > 90:
        swapped = not lat.axis and abs(lon.degrees) <= 90 and abs(lat.degrees) <= 180
        hint = _("latitude comes first; swap the two") if swapped else _("give latitude between -90 and 90")
        raise _error(
            text, _("has a latitude of %(degrees)s, beyond 90") % {"degrees": f"{lat.degrees:g}"}, hint
        )
    if abs(lon.degrees) > 180:
        raise _error(
            text,
            _("has a longitude of %(degrees)s, beyond 180") % {"degrees": f"{lon.degrees:g}"},
            _("give longitude between -180 and 180"),
        )
    if lat.degrees == 0 and lon.degrees == 0:
        raise _error(
            text, _("is 0, 0, what a device shows before its first fix"), _("wait for a fix and try again")
        )
