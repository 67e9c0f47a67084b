"""Which of two sets of terms over the same ground is the stricter, term by term."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from datetime import time
from decimal import Decimal
from typing import Any

from permissions.terms.model import (
    DogRule,
    Findspot,
    LivestockRule,
    Per,
    Photographs,
    Sharing,
    Terms,
    Threshold,
    Whole,
    WhoMay,
)

Pick = Callable[[Any, Any], Any]


def _least(a: Any, b: Any) -> Any:
    """The lower of two limits; no limit at all is the loosest."""
    return b if a is None else a if b is None else min(a, b)


def _most(a: Any, b: Any) -> Any:
    return b if a is None else a if b is None else max(a, b)


def _latest_start(a: time | None, b: time | None) -> time | None:
    return b if a is None else a if b is None else max(a, b, key=_wall)


def _earliest_end(a: time | None, b: time | None) -> time | None:
    return b if a is None else a if b is None else min(a, b, key=_wall)


def _wall(value: time) -> time:
    """Club wall clock: an offset, if any came along, is ignored so that comparing never fails."""
    return value.replace(tzinfo=None)


def _later_in(scale: Any) -> Pick:
    order = {member: place for place, member in enumerate(scale)}
    return lambda a, b: max(a, b, key=order.__getitem__)


def _common(a: frozenset[int] | None, b: frozenset[int] | None) -> frozenset[int] | None:
    return b if a is None else a if b is None else a & b


def _amount(value: Decimal | None) -> Decimal:
    """An amount fit to compare; one that is not a number counts as nothing agreed."""
    return value if value is not None and value.is_finite() else Decimal(0)


def _dearer(a: Decimal | None, b: Decimal | None) -> Decimal | None:
    """The higher amount; any amount at all rather than none."""
    return a if (a is not None, _amount(a)) >= (b is not None, _amount(b)) else b


def _cheaper(a: Decimal, b: Decimal) -> Decimal:
    return a if _amount(a) <= _amount(b) else b


_PICK: dict[str, Pick] = {
    "weekdays": _common,
    "hours_from": _latest_start,
    "hours_to": _earliest_end,
    "max_heads": _least,
    "who": _later_in(WhoMay),
    "guests": lambda a, b: a and b,
    "juniors": lambda a, b: a and b,
    "minimum_age": _most,
    "notice_hours": _most,
    "notice_to": lambda a, b: a | b,
    "max_vehicles": _least,
    "depth_limit_cm": _least,
    "livestock": _later_in(LivestockRule),
    "livestock_note": lambda a, b: "; ".join(dict.fromkeys(n for n in (a, b) if n)),
    "dogs": _later_in(DogRule),
    "fee_per_head": _dearer,
    "sharing": lambda a, b: _stricter_sharing(a, b),
    "findspot_landholder": _later_in(Findspot),
    "findspot_members": _later_in(Findspot),
    "findspot_public": _later_in(Findspot),
    "photographs": _later_in(Photographs),
    "insurance_floor": _dearer,
    "termination_days": _least,
}
_MONEY = frozenset({"fee_per_head", "insurance_floor", "sharing"})


def _stricter_sharing(a: Sharing, b: Sharing) -> Sharing:
    """The shares that leave the landholder more, part by part."""
    return Sharing(
        landholder_percent=_dearer(a.landholder_percent, b.landholder_percent) or Decimal(0),
        threshold=_cheaper(a.threshold, b.threshold),
        wording=_later_in(Threshold)(a.wording, b.wording),
        rule=Whole.WHOLE_VALUE if Whole.WHOLE_VALUE in (a.rule, b.rule) else Whole.EXCESS_ONLY,
        per=_later_in(Per)(a.per, b.per),
        organiser_percent=_cheaper(a.organiser_percent, b.organiser_percent),
    )


def stricter(a: Terms, b: Terms) -> Terms:
    """Terms that satisfy both: the stricter of each pair; `a` where amounts are in different currencies."""
    skip = _MONEY if a.currency != b.currency else frozenset[str]()
    picked = {n: pick(getattr(a, n), getattr(b, n)) for n, pick in _PICK.items() if n not in skip}
    if (a.notice_hours is None) != (b.notice_hours is None):
        picked["notice_to"] = (a if b.notice_hours is None else b).notice_to
    return replace(a, **picked)


def contradictions(a: Terms, b: Terms) -> tuple[str, ...]:
    """The names of the terms in which `a` and `b` differ, in the order of the agreement."""
    return tuple(f.name for f in fields(Terms) if _differ(getattr(a, f.name), getattr(b, f.name)))


def _differ(a: object, b: object) -> bool:
    if isinstance(a, Sharing) and isinstance(b, Sharing):
        return any(_differ(getattr(a, f.name), getattr(b, f.name)) for f in fields(Sharing))
    if isinstance(a, Decimal) and isinstance(b, Decimal) and not (a.is_finite() and b.is_finite()):
        return str(a) != str(b)  # comparing a signalling NaN would raise
    return a != b
