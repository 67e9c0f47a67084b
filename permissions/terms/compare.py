"""Which of two sets of terms over the same ground is the stricter, term by term."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
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


def _later_in(scale: Any) -> Pick:
    order = {member: place for place, member in enumerate(scale)}
    return lambda a, b: max(a, b, key=order.__getitem__)


def _common(a: frozenset[int] | None, b: frozenset[int] | None) -> frozenset[int] | None:
    return b if a is None else a if b is None else a & b


_PICK: dict[str, Pick] = {
    "weekdays": _common,
    "hours_from": _most,
    "hours_to": _least,
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
    "findspot_landholder": _later_in(Findspot),
    "findspot_members": _later_in(Findspot),
    "findspot_public": _later_in(Findspot),
    "photographs": _later_in(Photographs),
    "termination_days": _least,
}
