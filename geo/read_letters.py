"""Reads references that start with grid letters: two for Britain, one for Ireland."""

import re

from geo.areas import BRITISH, IRISH, Country, System
from geo.errors import PositionError, shown
from geo.letters import FIGURES_SIZE_M, british_origin, irish_origin
from geo.read_common import Position, placed
from geo.transform import from_irish_grid, from_national_grid

_LETTERED = re.compile(r"(?P<letters>[A-Z]{1,2})[ :.,/-]*(?P<digits>\d[\d ,./:-]*)?(?P<tile>NE|NW|SE|SW)?")
_SPLIT_LETTERS = re.compile(r"^([A-Z]) ([A-Z])(?= ?\d)")
_TILES = {"SW": (0, 0), "SE": (1, 0), "NW": (0, 1), "NE": (1, 1)}


def read_letters(body: str, text: str, label: System | None, country: Country | None) -> Position | None:
    """A lettered reference, or None if the text is of another form. Raises PositionError if it is a broken
    one.
    """
    match = _LETTERED.fullmatch(_SPLIT_LETTERS.sub(r"\1\2", body.upper()))
    if match is None or "." in (match["digits"] or "").rstrip(". "):
        return None
    letters, tile = match["letters"], match["tile"]
    system = System.NATIONAL_GRID if len(letters) == 2 else System.IRISH_GRID
    _check_grid(system, letters, text, label, country)
    origin = british_origin(letters) if system is System.NATIONAL_GRID else irish_origin(letters)
    east, north, size = inside_square(match["digits"] or "", letters, text)
    if tile:
        size /= 2
        east, north = east + _TILES[tile][0] * size, north + _TILES[tile][1] * size
    place = from_national_grid if system is System.NATIONAL_GRID else from_irish_grid
    return placed(place(origin[0] + east + size / 2, origin[1] + north + size / 2), system, size, text)


def _check_grid(
    system: System, letters: str, text: str, label: System | None, country: Country | None
) -> None:
    one = system is System.IRISH_GRID
    if (country in BRITISH and one) or (label is System.NATIONAL_GRID and one):
        raise PositionError(
            f"“{shown(text)}” has one grid letter, {letters}, as in Ireland",
            value=text,
            remedy="give both letters of a British reference, such as TA 4550 1930",
        )
    if (country in IRISH and not one) or (label is System.IRISH_GRID and not one):
        raise PositionError(
            f"“{shown(text)}” has two grid letters, {letters}, as in Britain",
            value=text,
            remedy="give an Irish reference with one letter, such as N 7321 3941",
        )


def inside_square(digits: str, letters: str, text: str) -> tuple[float, float, float]:
    """Metres east and north inside the square, and the side of the cell. Raises PositionError."""
    groups = re.findall(r"\d+", digits)
    total = sum(map(len, groups))
    if not total:
        raise PositionError(
            f"“{shown(text)}” names only a square 100 km wide",
            value=text,
            remedy=f"add figures, such as {letters} 4550 1930",
        )
    if len(groups) > 2:
        raise PositionError(
            f"“{shown(text)}” has {len(groups)} groups of figures",
            value=text,
            remedy="give two groups of equal length, eastings then northings",
        )
    if len(groups) == 2 and len(groups[0]) != len(groups[1]):
        raise PositionError(
            f"“{shown(text)}” has {_count(groups[0], 'easting')} and {_count(groups[1], 'northing')}",
            value=text,
            remedy="give the same number of each",
        )
    if total % 2:
        raise PositionError(
            f"“{shown(text)}” has an odd number of figures, {total}",
            value=text,
            remedy="give 2, 4, 6, 8 or 10 figures: half for the easting, half for the northing",
        )
    if total > 10:
        raise PositionError(
            f"“{shown(text)}” has {total} figures", value=text, remedy="give at most 10, which name one metre"
        )
    joined = "".join(groups)
    half, size = total // 2, FIGURES_SIZE_M[total]
    return int(joined[:half]) * size, int(joined[half:]) * size, size


def _count(digits: str, kind: str) -> str:
    return f"{len(digits)} {kind} {'figure' if len(digits) == 1 else 'figures'}"
