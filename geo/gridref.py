"""Grid references with no more figures than the position can bear, truncated and never rounded."""

import math

from geo.areas import Country, System, grid_for
from geo.letters import (
    BRITISH_SQUARES,
    FIGURES_SIZE_M,
    IRISH_SQUARES,
    british_letters,
    irish_letter,
    reference,
)
from geo.precision import FRAME_M, combined_accuracy_m
from geo.transform import OSTN15_ACCURACY_M, GridPoint, to_irish_grid, to_national_grid
from tongue import figure, say

UNKNOWN_ACCURACY_M = 22.0
"""Assumed when no accuracy was recorded: a phone under leaf, 12.6 m rms (published range 5.4 to 12.6 m), at
95 %.
"""
_DEGREE_M = 111_200.0
_MAX_DECIMALS = 7


def figures_for(
    accuracy_m: float | None,
    *,
    transformation_m: float = OSTN15_ACCURACY_M,
    frame_m: float = FRAME_M,
) -> int:
    """How many figures a reference may have: the finest cell whose side is no less than the 95 % radius.

    All arguments are 95 % radii in metres; `frame_m` is 0 for a receiver that works in ETRS89 or a typed
    reference. Returns 10, 8, 6, 4, 2 or 0, or -1 when even a 100 km square would claim too much.
    """
    device = UNKNOWN_ACCURACY_M if accuracy_m is None else accuracy_m
    total = combined_accuracy_m(device, transformation_m, frame_m)
    return next((f for f in (10, 8, 6, 4, 2, 0) if FIGURES_SIZE_M[f] >= total), -1)


def grid_reference(
    lon: float, lat: float, *, accuracy_m: float | None, country: Country, frame_m: float = FRAME_M
) -> str:
    """An honest reference on the country's grid, such as 'TA 1234 5678' or 'N 123 456'.

    `accuracy_m` is the device's 95 % radius, None if it was not recorded (22 m is then assumed). Where no
    grid holds, or the place is known too poorly for any square, honest decimal degrees come back instead.
    """
    point, letters = _on_grid(lon, lat, country)
    if point is None:
        return decimal_degrees(lon, lat, accuracy_m=accuracy_m)
    figures = figures_for(accuracy_m, transformation_m=point.accuracy_m, frame_m=frame_m)
    if figures < 0:
        return decimal_degrees(lon, lat, accuracy_m=accuracy_m)
    return reference(letters, point.easting, point.northing, figures)


def _on_grid(lon: float, lat: float, country: Country) -> tuple[GridPoint | None, str]:
    """The point and its letters, or None far out at sea: such letters are no one's map and would not be read
    back.
    """
    system = grid_for(country, lon, lat)
    if system is System.NATIONAL_GRID:
        point = to_national_grid(lon, lat)
        letters = british_letters(point.easting, point.northing)
        return (point, letters) if letters in BRITISH_SQUARES else (None, "")
    if system is System.IRISH_GRID:
        point = to_irish_grid(lon, lat)
        letters = irish_letter(point.easting, point.northing)
        return (point, letters) if letters in IRISH_SQUARES else (None, "")
    return None, ""


def decimal_degrees(lon: float, lat: float, *, accuracy_m: float | None) -> str:
    """'53.7123, -0.1234' (latitude first) with the most decimals whose last step is no less than the 95 %
    radius.
    """
    device = UNKNOWN_ACCURACY_M if accuracy_m is None else accuracy_m
    finest = math.floor(math.log10(_DEGREE_M / max(device, 1e-9)))
    decimals = max(0, min(_MAX_DECIMALS, finest))
    return f"{lat:.{decimals}f}, {lon:.{decimals}f}"


def describe_position(lon: float, lat: float, accuracy_m: float | None, country: Country) -> str:
    """The reference with its accuracy, for people: 'TA 1234 5678 (±7 m)'."""
    text = grid_reference(lon, lat, accuracy_m=accuracy_m, country=country)
    if accuracy_m is None:
        return say("%(position)s (accuracy not recorded)") % {"position": text}
    shown = f"{accuracy_m:.1f}" if accuracy_m < 1 else f"{math.ceil(accuracy_m - 1e-9)}"
    return f"{text} (±{figure(shown)} m)"
