"""Turns the conditions of a pack's TOML into trees; a slip raises ConditionError with what was wrong."""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Any

from law.facts import LandStatus
from law.leaves import Age, Depth, Fact, Land, Possible, Precious, UpToYear
from law.leaves_together import Associated, CountInFind, Met
from law.nodes import All, AnyOf, Node, Not


class ConditionError(ValueError):
    """A condition that cannot be read; the message names the part and the remedy."""


class Builder:
    """Builds conditions. `names` are the facts they may use, `rules` the rules that come before."""

    def __init__(self, names: Collection[str], rules: Collection[str] = (), *, pad: int = 0) -> None:
        self.names = names
        self.rules = rules
        self.pad = pad
        self.counting = False

    def build(self, raw: Any) -> Node:
        """The tree of one condition: a fact's name, “not” and a name, a list (all), or a table."""
        if isinstance(raw, str):
            return self._fact(raw)
        if isinstance(raw, list):
            return self._all(raw)
        if not isinstance(raw, dict) or not raw:
            raise ConditionError(f"{raw!r} is not a condition; give a fact, a list or a table.")
        for key, make in _MAKERS.items():
            if key in raw:
                # A second condition in the same table would be dropped without a word.
                if extra := sorted(raw.keys() - {key} - _BESIDE.get(key, _NOTHING)):
                    raise ConditionError(
                        f"“{extra[0]}” may not stand beside “{key}”; put each into its own {{ }}."
                    )
                return make(self, raw)
        raise ConditionError(f"“{next(iter(raw))}” is not a condition; known are {', '.join(_MAKERS)}.")

    def _fact(self, raw: str) -> Node:
        name = raw.removeprefix("not ")
        if name not in self.names:
            raise ConditionError(f"“{name}” is not a fact that the law packs know.")
        return Fact(name) if name == raw else Not(Fact(name))

    def _parts(self, raw: Any) -> tuple[Node, ...]:
        if not isinstance(raw, list) or not raw:
            raise ConditionError("An empty or missing list; give at least one condition.")
        return tuple(self.build(part) for part in raw)

    def _all(self, raw: Any) -> Node:
        parts = self._parts(raw)
        return parts[0] if len(parts) == 1 else All(parts)

    def _count(self, raw: dict[str, Any]) -> Node:
        self._outside_count("same_find_count")
        self.counting = True
        of = self.build(_need(raw, "of", list))
        self.counting = False
        return CountInFind(_need(raw, "same_find_count", int), of, _need(raw, "of_words", str))

    def _earlier_rules(self, raw: dict[str, Any], key: str) -> tuple[str, ...]:
        self._outside_count(key)
        rules = tuple(_need(raw, key, list))
        if not rules:
            raise ConditionError(f"{key} names no rule; name at least one that stands before this one.")
        for rule in rules:
            if rule not in self.rules:
                raise ConditionError(f"{key}: no rule “{rule}” stands before this one.")
        return rules

    def _outside_count(self, key: str) -> None:
        # What is counted is worked out once for each record, so it may not depend on who asks.
        if self.counting:
            raise ConditionError(f"{key} may not stand inside same_find_count.")

    def _age(self, raw: dict[str, Any], key: str) -> Node:
        years = _need(raw, key, int)
        pad = _need({"pad": self.pad} | raw, "pad", int)
        return Age(years, pad, strict="over" in key, vessel="vessel" in key)

    def _land(self, raw: dict[str, Any]) -> Node:
        statuses = _need(raw, "land_status", list)
        known = [status.value for status in LandStatus if status is not LandStatus.UNKNOWN]
        if wrong := [status for status in statuses if status not in known] or not statuses:
            raise ConditionError(f"land_status {wrong!r} is not known; known are {', '.join(known)}.")
        return Land(tuple(statuses))

    def _associated(self, raw: dict[str, Any]) -> Node:
        recorded = _need({"recorded": False} | raw, "recorded", bool)
        return Associated(self._earlier_rules(raw, "associated_with"), recorded)

    def _year(self, raw: dict[str, Any], key: str) -> Node:
        year = _need(raw, key, int)
        if year == 0:
            raise ConditionError(f"{key} is 0; there is no year 0: write 1 BC as -1 and AD 1 as 1.")
        if "before" in key:
            year = year - 1 if year != 1 else -1
        return UpToYear(year, vessel="vessel" in key)


def _need(raw: dict[str, Any], key: str, kind: type) -> Any:
    value = raw.get(key)
    if not isinstance(value, kind) or (kind is int and isinstance(value, bool)):
        raise ConditionError(f"{key} is {value!r}; give {_KIND_WORDS[kind]}.")
    return value


_KIND_WORDS = {int: "a whole number", list: "a list", str: "words", bool: "true or false"}
_NOTHING: frozenset[str] = frozenset()
_AGES = ("age_at_least", "age_over", "vessel_lost_at_least_years", "vessel_lost_over_years")
_BESIDE = {
    "same_find_count": frozenset({"of", "of_words"}),
    "associated_with": frozenset({"recorded"}),
    **dict.fromkeys(_AGES, frozenset({"pad"})),
}


def _ages(key: str) -> Callable[[Builder, dict[str, Any]], Node]:
    return lambda builder, raw: builder._age(raw, key)


def _years(key: str) -> Callable[[Builder, dict[str, Any]], Node]:
    return lambda builder, raw: builder._year(raw, key)


_MAKERS: dict[str, Callable[[Builder, dict[str, Any]], Node]] = {
    "all": lambda builder, raw: builder._all(raw["all"]),
    "any": lambda builder, raw: AnyOf(builder._parts(raw["any"])),
    "not": lambda builder, raw: Not(builder.build(raw["not"])),
    "possible": lambda builder, raw: Possible(builder.build(raw["possible"])),
    "same_find_count": Builder._count,
    "associated_with": Builder._associated,
    "met": lambda builder, raw: Met(builder._earlier_rules(raw, "met")),
    "precious_at_least": lambda builder, raw: Precious(float(_need(raw, "precious_at_least", int))),
    "depth_over_cm": lambda builder, raw: Depth(float(_need(raw, "depth_over_cm", int))),
    "land_status": Builder._land,
    **{key: _ages(key) for key in _AGES},
    **{key: _years(key) for key in ("made_before", "made_up_to", "vessel_lost_before", "vessel_lost_up_to")},
}
