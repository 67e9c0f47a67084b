"""What a settlement works on and what it says, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from permissions.terms import Sharing
from tongue import noop

ORGANISER = "organiser"


class SettlementError(ValueError):
    """Something that cannot be settled as it stands; the message names the object, the value and the remedy."""


class Way(StrEnum):
    """How several valuations become one value."""

    MEAN = "mean"
    MEDIAN = "median"


class Fate(StrEnum):
    """What becomes of an object."""

    FINDER_KEEPS = noop("finder keeps")
    LANDHOLDER_KEEPS = noop("landholder keeps")
    SOLD = noop("sold")
    DONATED = noop("donated")
    REBURIED = noop("reburied")
    SCRAPPED = noop("scrapped")
    WITH_AUTHORITY = noop("with the authority")


class Kept(StrEnum):
    """Whose hands the value is in, where it is shared at all."""

    FINDER = "finder"
    LANDHOLDER = "landholder"
    PROCEEDS = "proceeds"


# Where the value lies, for the fates whose value is shared. The others are listed and carry no money.
HELD = {
    Fate.FINDER_KEEPS: Kept.FINDER,
    Fate.LANDHOLDER_KEEPS: Kept.LANDHOLDER,
    Fate.SOLD: Kept.PROCEEDS,
}


@dataclass(frozen=True, slots=True)
class Valuation:
    """One opinion of value: when, by whom, how, from low to high (equal where it is one figure)."""

    on: date
    valuer: str
    method: str
    low: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True)
class Share:
    """A named party's part of one side, in per cent of that side. Parts of a side add up to 100."""

    key: str
    name: str
    percent: Decimal


@dataclass(frozen=True, slots=True)
class Item:
    """One object (or lot of like objects) to settle.

    `finder` is a party's key. `group` and `hunt` say what it counts with where the threshold is measured on those;
    an object without a group counts alone. `price` is what it sold for, fees already off, and stands in for
    valuations. `waived`: nobody asks anything for it, so it counts towards no threshold. `keeper` is the key of the
    landholder who keeps it, where there are several.
    """

    ref: str
    finder: str
    hunt: str = ""
    group: str = ""
    fate: Fate = Fate.FINDER_KEEPS
    valuations: tuple[Valuation, ...] = ()
    price: Decimal | None = None
    waived: bool = False
    keeper: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One line of arithmetic in words, with its amount."""

    words: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Line:
    """The sum for one unit the threshold is measured on: an object, a same-find group, or a hunt."""

    title: str
    refs: tuple[str, ...]
    value: Decimal
    shared: bool
    steps: tuple[Step, ...]
    parts: tuple[tuple[str, Decimal], ...]  # party key, amount; they add up to `value`


@dataclass(frozen=True, slots=True)
class Payment:
    """One payment that makes the sheet even: from party, to party, amount."""

    payer: str
    payee: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Settlement:
    """The sheet: every unit's arithmetic, what each party is due, and who pays whom.

    `due` and `held` map party key to amount; their sums are equal. `apart` lists objects that carry no money, with
    why. `warnings` say what should be looked at before anybody signs. `remainder_rule` is the rounding in words.
    """

    currency: str
    terms: Sharing
    lines: tuple[Line, ...]
    due: tuple[tuple[str, Decimal], ...]
    held: tuple[tuple[str, Decimal], ...]
    payments: tuple[Payment, ...]
    apart: tuple[tuple[str, str], ...]
    warnings: tuple[str, ...]
    remainder_rule: str

    @property
    def total(self) -> Decimal:
        """The value of everything shared or measured against the threshold."""
        return sum((line.value for line in self.lines), Decimal(0))


@dataclass(frozen=True, slots=True)
class Reward:
    """A reward that an authority pays, shared as agreed or as the authority said; apart from the agreement's terms."""

    case: str
    amount: Decimal
    parts: tuple[tuple[str, Decimal], ...]
