"""What only a table of finds says in a cell: historians' years, shares in per cent, materials with their shares."""

import re
from collections.abc import Callable
from decimal import Decimal

from django.utils.translation import gettext as _

from tongue import figure
from web.tables.errors import CellError
from web.tables.values import read_list, read_number

_YEAR = re.compile(r"(?:(ad|bc|ce|bce)\s*)?([+\-\u2212]?\d{1,6})\s*(ad|bc|ce|bce)?", re.I)
_PART = re.compile(r"([^()]*?)\s*(?:\(([^()]*)\))?\s*(?:([\d.,]+)\s*(%)?)?")


def read_year(text: str) -> int:
    """A historian's year: 1205, AD 43, 50 BC, -50. There is no year 0."""
    match = _YEAR.fullmatch(text.strip())
    if match is None or (match[1] and match[3]):
        raise CellError(_("“%(text)s” is not a year") % {"text": text}, _("write it as 1205, 50 BC or -50"))
    year, era = int(match[2].replace("\u2212", "-")), (match[1] or match[3] or "").casefold()
    if era in {"bc", "bce"}:
        year = -abs(year)
    if year == 0:
        raise CellError(_("There is no year 0"), "write 1 BC as -1 and AD 1 as 1")
    return year


def read_percent(text: str) -> Decimal:
    """A share in per cent, 0 to 100. A bare figure up to 1 is refused, because 0.05 may mean 5 % or 0.05 %."""
    share = read_number(text, unit="%", places=4)
    if "%" not in text and 0 < share <= 1:
        times = (share * 100).normalize()
        raise CellError(
            _("“%(text)s” could be %(times)s %% or %(share)s %%")
            % {"text": text, "times": figure(f"{times:f}"), "share": figure(f"{share:f}")},
            _("write %(times)s %% or %(share)s %%")
            % {"times": figure(f"{times:f}"), "share": figure(f"{share:f}")},
        )
    if not 0 <= share <= 100:
        raise CellError(_("“%(text)s” cannot be a share") % {"text": text}, _("give a figure from 0 to 100"))
    return share.quantize(Decimal("0.01"))


def read_shares(
    text: str, meaning: Callable[[str], tuple[str, str]]
) -> dict[tuple[str, str], Decimal | None]:
    """Materials, each perhaps with words in brackets and its share: “silver 92 %; copper alloy (gilded)”.

    `meaning` gives the listed name of a material, and words where it says more. Gives share, or None, by both.
    """
    found: dict[tuple[str, str], Decimal | None] = {}
    for part in read_list(text):
        match = _PART.fullmatch(part)
        named, inside, figure, sign = match.groups() if match else (part, "", None, None)
        name, words = meaning(named)
        key = (name, inside or words)
        if key in found:
            raise CellError(_("“%(part)s” is listed twice") % {"part": part}, _("name each material once"))
        found[key] = read_percent(f"{figure} {sign or ''}".strip()) if figure else None
    total = sum((share for share in found.values() if share is not None), Decimal(0))
    if total > 100:
        raise CellError(
            _("The shares add up to %(total)s %%") % {"total": total}, _("together they cannot pass 100 %")
        )
    return found
