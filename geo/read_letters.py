"""Reads references that start with grid letters: two for Britain, one for Ireland."""

import re

from geo.areas import BRITISH, IRISH, Country, System
from geo.errors import PositionError, shown
from geo.letters import FIGURES_SIZE_M, british_origin, irish_origin
from geo.read_common import Position, placed
from geo.transform import from_irish_grid, from_national_grid
from tongue import say as _
from tongue import say_many

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
            _("“%(text)s” has one grid letter, %(letters)s, as in Ireland")
            % {"text": shown(text), "letters": letters},
            value=text,
            remedy=_("give both letters of a British reference, such as TA 4550 1930"),
        )
    if (country in IRISH and not one) or (label is System.IRISH_GRID and not one):
        raise PositionError(
            _("“%(text)s” has two grid letters, %(letters)s, as in Britain")
            % {"text": shown(text), "letters": letters},
            value=text,
            remedy=_("give an Irish reference with one letter, such as N 7321 3941"),
        )


def inside_square(digits: str, letters: str, text: str) -> tuple[float, float, float]:
    """Metres east and north inside the square, and the side of the cell. Raises PositionError."""
    groups = re.findall(r"\d+", digits)
    total = sum(map(len, groups))
    if not total:
        raise PositionError(
            _("“%(text)s” names only a square 100 km wide") % {"text": shown(text)},
            value=text,
            remedy=_("add figures, such as %(letters)s 4550 1930") % {"letters": letters},
        )
    if len(groups) > 2:
        raise PositionError(
            _("“%(text)s” has %(groups)s groups of figures") % {"text": shown(text), "groups": len(groups)},
            value=text,
            remedy=_("give two groups of equal length, eastings then northings"),
        )
    if len(groups) == 2 and len(groups[0]) != len(groups[1]):
        raise PositionError(
            _("“%(text)s” has %(count)s and %(count2)s")
            % {
                "text": shown(text),
                "count": _eastings(len(groups[0])),
                "count2": _northings(len(groups[1])),
            },
            value=text,
            remedy=_("give the same number of each"),
        )
    if total % 2:
        raise PositionError(
            _("“%(text)s” has an odd number of figures, %(total)s") % {"text": shown(text), "total": total},
            value=text,
            remedy=_("give 2, 4, 6, 8 or 10 figures: half for the easting, half for the northing"),
        )
    if total > 10:
        raise PositionError(
            _("“%(text)s” has %(total)s figures") % {"text": shown(text), "total": total},
            value=text,
            remedy=_("give at most 10, which name one metre"),
        )
    joined = "".join(groups)
    half, size = total // 2, FIGURES_SIZE_M[total]
    return int(joined[:half]) * size, int(joined[half:]) * size, size


def _eastings(count: int) -> str:
    return say_many("%(count)s easting figure", "%(count)s easting figures", count) % {"count": count}


def _northings(count: int) -> str:
    return say_many("%(count)s northing figure", "%(count)s northing figures", count) % {"count": count}
