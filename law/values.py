"""Values of a pack's tables that need more than a type: conditions, days in force, clocks, choices and numbers."""

from __future__ import annotations

from typing import Any

from law.clock import Clock, ClockKind
from law.conditions import Builder, ConditionError
from law.leaves import Within
from law.model import Checked
from law.nodes import Node
from law.tables import Table


def condition_of(table: Table, key: str, builder: Builder) -> Node:
    raw = table.values.get(key)
    if raw is None:
        raise table.error(f'{key} is missing; say in which cases it applies: write {key} = ["..."].')
    try:
        return builder.build(raw)
    except ConditionError as error:
        raise table.error(f"{key}: {error}", key) from error


def force_of(table: Table) -> Within:
    first, last = table.day("from"), table.day("to")
    if first and last and first > last:
        raise table.error(f"in force from {first} to {last}, which ends before it starts.", "to")
    return Within(first, last)


def clock_of(table: Table) -> Clock:
    raw: dict[str, Any] = table.need("clock", dict)
    kinds = {"kind": str, "number": int, "guide_months": int, "statutory": bool, "words": str}
    # type() and not isinstance(): true is a number to Python, and a clock of “true” days is a slip.
    wrong = [key for key, value in raw.items() if type(value) is not kinds.get(key)]
    try:
        if wrong:
            raise ValueError(f"{wrong[0]} = {raw[wrong[0]]!r}")
        clock = Clock(**{**raw, "kind": ClockKind(raw.get("kind", ""))})
    except ValueError as error:
        example = 'clock = { kind = "days_after", number = 14, words = "..." }'
        message = (
            f"clock cannot be read: {error}; write one like {example}; kinds are {', '.join(ClockKind)}."
        )
        raise table.error(message, "clock") from error
    counted = clock.kind in (ClockKind.BEGINNING_WITH, ClockKind.DAYS_AFTER, ClockKind.HOURS)
    if counted != (clock.number > 0) or clock.guide_months < 0:
        raise table.error(
            f"clock {clock.kind}: give a number for counted clocks and none for others.", "clock"
        )
    return clock


def enum_of(table: Table, key: str, kind: Any) -> Any:
    value = table.need(key, str)
    try:
        return kind(value)
    except ValueError as error:
        raise table.error(f"{key} “{value}” is not one of {', '.join(kind)}.", key) from error


def checked_of(table: Table) -> Checked:
    checked: Checked = enum_of(table, "checked", Checked)
    return checked


def number_of(table: Table, key: str) -> float | None:
    value = table.values.get(key)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or value < 0:
        raise table.error(f"{key} is {value!r}; give a number of 0 or more.", key)
    return float(value)
