"""The 100 km squares of the British and Irish grids and their letters.

Sources: Ordnance Survey, A Guide to Coordinate Systems in Great Britain v3.6, section 5 (letters, no I). The
list of squares that hold land is common knowledge, from memory, OV and the Irish Q included.
"""

from geo.errors import PositionError
from tongue import say as _

_ALPHABET = "ABCDEFGHJKLMNOPQRSTUVWXYZ"
SQUARE_M = 100_000

_BRITISH_BY_ROW = """
    SV SW SX SY SZ TV  SR SS ST SU TQ TR  SM SN SO SP TL TM  SH SJ SK TF TG  SC SD SE TA OV  NW NX NY NZ
    NR NS NT NU  NL NM NN NO  NF NG NH NJ NK  NA NB NC ND  HW HX HY HZ  HT HU  HP
"""
BRITISH_SQUARES = frozenset(_BRITISH_BY_ROW.split())
IRISH_SQUARES = frozenset("BCDFGHJLMNOQRSTVWX")
FIGURES_SIZE_M = {0: 100_000.0, 2: 10_000.0, 4: 1_000.0, 6: 100.0, 8: 10.0, 10: 1.0}


def _letter(column: int, row: int) -> str:
    return _ALPHABET[(4 - row) * 5 + column]


def _place(letter: str) -> tuple[int, int]:
    index = _ALPHABET.index(letter)
    return index % 5, 4 - index // 5


def british_letters(easting: float, northing: float) -> str:
    """The two letters of the square at these National Grid metres."""
    column, row = int(easting // SQUARE_M) + 10, int(northing // SQUARE_M) + 5
    return _letter(column // 5, row // 5) + _letter(column % 5, row % 5)


def british_origin(letters: str) -> tuple[float, float]:
    """South-west corner of a square in metres. Raises PositionError unless the square holds land."""
    if letters not in BRITISH_SQUARES:
        raise PositionError(
            _("%(letters)s is not a square of the British National Grid with land in it")
            % {"letters": letters},
            value=letters,
            remedy=_("check the two letters, for example TA or SU"),
        )
    (big_column, big_row), (column, row) = _place(letters[0]), _place(letters[1])
    return (big_column * 5 + column - 10) * SQUARE_M, (big_row * 5 + row - 5) * SQUARE_M


def irish_letter(easting: float, northing: float) -> str:
    """The letter of the square at these Irish Grid metres."""
    return _letter(int(easting // SQUARE_M), int(northing // SQUARE_M))


def irish_origin(letter: str) -> tuple[float, float]:
    """South-west corner of a square in metres. Raises PositionError unless the square holds land."""
    if letter not in IRISH_SQUARES:
        raise PositionError(
            _("%(letter)s is not a square of the Irish Grid with land in it") % {"letter": letter},
            value=letter,
            remedy=_("check the letter, for example N or S; British references have two letters"),
        )
    column, row = _place(letter)
    return column * SQUARE_M, row * SQUARE_M


def reference(letters: str, easting: float, northing: float, figures: int) -> str:
    """'TA 1234 5678': the metres inside the square truncated, never rounded, to half the figures each."""
    half = figures // 2
    if not half:
        return letters
    return " ".join([letters, *(f"{int(v % SQUARE_M):05d}"[:half] for v in (easting, northing))])
