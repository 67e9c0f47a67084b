"""The standards of coins out of coins.toml, and which of them a find's words and years may mean. Pure."""

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from finds.weights import GRAIN_G
from tongue import say as _

_FILE = Path(__file__).with_name("coins.toml")
MARKS = ("published", "derived", "memory")
_GRAIN = float(GRAIN_G)


class CoinTableError(ValueError):
    """A row of the file that cannot be meant; the sentence names it."""


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Shares of the weight by which a coin may be over and under, of the diameter by which it may differ."""

    over: float
    under: float
    wide: float
    why: str


@dataclass(frozen=True, slots=True)
class Standard:
    """One kind of coin in one span of years: grams as struck, and where known mm and per cent of silver."""

    title: str
    plural: str
    words: tuple[str, ...]
    first: int
    last: int
    grams: tuple[float, float]
    tolerance: Tolerance
    metal: str
    mm: tuple[float, float] | None
    silver: tuple[float, float] | None
    no_least: bool
    whole_text: bool
    struck: tuple[int, int] | None
    mark: str
    source: str

    @property
    def least_g(self) -> float:
        return 0.0 if self.no_least else self.grams[0] * (1 - self.tolerance.under)

    @property
    def most_g(self) -> float:
        return self.grams[1] * (1 + self.tolerance.over)

    def in_years(self, first: int | None, last: int | None) -> bool:
        """May a coin made between `first` and `last` (None: not known) be of this standard?"""
        return (first is None or first <= self.last) and (last is None or last >= self.first)


@lru_cache(maxsize=1)
def standards() -> tuple[Standard, ...]:
    """Every standard in the file. Raises CoinTableError for a row that cannot be meant."""
    raw = tomllib.loads(_FILE.read_text(encoding="utf-8"))
    tolerances = {name: Tolerance(**row) for name, row in raw["tolerance"].items()}
    found = [_standard(coin, row, tolerances[coin["made"]]) for coin in raw["coin"] for row in coin["rows"]]
    for coin in raw["multiple"]:
        found += _multiples(coin, raw["penny"]["rows"], tolerances["hammered"])
    return tuple(found)


@lru_cache(maxsize=1)
def silver_points() -> float:
    """How many points of a per cent a measured share of silver may lie from the standard."""
    return float(tomllib.loads(_FILE.read_text(encoding="utf-8"))["silver"]["points"])


def _multiples(
    coin: dict[str, Any], pennies: Iterable[dict[str, Any]], tolerance: Tolerance
) -> list[Standard]:
    """So many pennies' weight, for the years in which the coin was struck."""
    rows = []
    for penny in pennies:
        first, last = max(penny["from"], coin["from"]), min(penny["to"], coin["to"])
        if first <= last:
            row = penny | {"from": first, "to": last, "grains": penny["grains"] * coin["pennies"]}
            rows.append(_standard(coin | {"metal": "silver"}, row, tolerance))
    return rows


def _standard(coin: dict[str, Any], row: dict[str, Any], tolerance: Tolerance) -> Standard:
    grams = _pair(row["grams"]) if "grams" in row else _grams(_pair(row["grains"]))
    if coin["mark"] not in MARKS or row["from"] > row["to"] or not 0 < grams[0] <= grams[1]:
        raise CoinTableError(
            _("The row of %(coin)s from %(row)s to %(value)s cannot be meant.")
            % {"coin": coin["title"], "row": row["from"], "value": row["to"]}
        )
    return Standard(
        title=coin["title"],
        plural=coin["plural"],
        words=tuple(coin["words"]),
        first=row["from"],
        last=row["to"],
        grams=grams,
        tolerance=tolerance,
        metal=coin.get("metal", ""),
        mm=_pair(row["mm"]) if "mm" in row else None,
        silver=_pair(row["silver"]) if "silver" in row else None,
        no_least=coin.get("no_least", False),
        whole_text=coin.get("whole_text", False),
        struck=tuple(coin["struck"]) if "struck" in coin else None,
        mark=coin["mark"],
        source=coin["source"],
    )


def _pair(value: Any) -> tuple[float, float]:
    """A range, or one figure as the range of itself."""
    least, most = value if isinstance(value, list) else (value, value)
    return float(least), float(most)


def _grams(grains: tuple[float, float]) -> tuple[float, float]:
    return grains[0] * _GRAIN, grains[1] * _GRAIN


def named(text: str) -> tuple[Standard, ...]:
    """The standards that the words of `text` may mean, the longest name first: 'half groat' is no groat.

    'penny of Edward I' and 'cut short cross penny' are pennies; a word like 'as' counts only by itself.
    """
    tidy = " ".join(text.lower().split())
    best = 0
    found: list[Standard] = []
    for standard in standards():
        length = max((len(w) for w in standard.words if _says(tidy, w, alone=standard.whole_text)), default=0)
        if length and length >= best:
            found = [*(found if length == best else []), standard]
            best = length
    return tuple(found)


def _says(text: str, word: str, *, alone: bool) -> bool:
    return text == word if alone else re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", text) is not None
