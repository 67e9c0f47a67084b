"""A rule's conditions and clock in words, for a page on which people read the pack."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from law.clock import Clock, ClockKind
from law.leaves import Fact, Possible, Within
from law.leaves_together import Associated, CountInFind, Met
from law.model import Pack, Rule, SearchRule
from law.nodes import All, AnyOf, Node, Not
from law.place_words import place_or_find_words
from law.tri import Tri


@dataclass(frozen=True, slots=True)
class Condition:
    """One condition in words; `parts` are those it consists of, `clause` is where it stands in the law."""

    words: str
    parts: tuple[Condition, ...] = ()
    clause: str = ""


def rule_condition(rule: Rule | SearchRule, pack: Pack) -> Condition:
    """What has to be so for the rule to bite, the days it is in force and its exclusions included."""
    parts = [*_force(rule.force), *_flat(condition(rule.when, pack))]
    if isinstance(rule, Rule):
        parts += [Condition(f"Not: {e.title}", _flat(condition(e.when, pack)), e.clause) for e in rule.unless]
    else:
        parts += _limits(rule)
    return Condition("All of these:", tuple(parts))


def _flat(whole: Condition) -> tuple[Condition, ...]:
    return whole.parts if whole.words == _ALL else (whole,)


_ALL = "All of these:"


def condition(node: Node, pack: Pack, *, wanted: Tri = Tri.YES) -> Condition:
    """The condition as it has to be answered: with yes, or with no where it stands under a “not”."""
    if isinstance(node, Not):
        return condition(node.part, pack, wanted=~wanted)
    if isinstance(node, All | AnyOf):
        if wanted is Tri.YES:
            words = _ALL if isinstance(node, All) else "At least one of these:"
        else:
            words = "Not all of these together:" if isinstance(node, All) else "None of these:"
        return Condition(words, tuple(condition(part, pack) for part in node.parts))
    if isinstance(node, Possible):
        words = "This is so, or is not known:" if wanted is Tri.YES else "This is certainly not so:"
        return Condition(words, (condition(node.part, pack),))
    if isinstance(node, Met):
        words = (
            "One of these rules is met for certain:"
            if wanted is Tri.YES
            else "None of these rules is met for certain:"
        )
        return Condition(words, _rules(node.rules, pack))
    if isinstance(node, Associated):
        words = "Left together with an object, found before it or at the same time, that meets one of these rules:"
        return Condition(words if wanted is Tri.YES else f"Not: {words}", _rules(node.rules, pack))
    if isinstance(node, CountInFind):
        return Condition(_leaf(node, wanted), (condition(node.of, pack),))
    if isinstance(node, Fact):
        return Condition(place_or_find_words(node.name, wanted))
    return Condition(_leaf(node, wanted))


def _leaf(node: Any, wanted: Tri) -> str:
    words: str = node.words(wanted)
    return words


def _rules(ids: tuple[str, ...], pack: Pack) -> tuple[Condition, ...]:
    return tuple(Condition(pack.rule(rule).title, clause=pack.rule(rule).clause) for rule in ids)


def _force(force: Within) -> tuple[Condition, ...]:
    if force.first is None and force.last is None:
        return ()
    first = f" from {force.first.isoformat()}" if force.first else ""
    last = f" until {force.last.isoformat()}" if force.last else ""
    return (Condition(f"The day lies{first}{last}, both ends counted."),)


def _limits(rule: SearchRule) -> list[Condition]:
    found = []
    if rule.depth_over_cm is not None:
        found.append(Condition(f"The plan goes deeper than {rule.depth_over_cm:g} cm."))
    if rule.distance_at_most_m is not None:
        found.append(
            Condition(f"The place is at most {rule.distance_at_most_m:g} m from the protected thing.")
        )
    return found


def clock_words(clock: Clock) -> str:
    """How the clause counts, with its number; the clause's own words stand in `clock.words`."""
    days = f"{clock.number} days"
    said = {
        ClockKind.BEGINNING_WITH: f"{days}, beginning with the day after the find, or with the day of belief if later",
        ClockKind.DAYS_AFTER: f"{days} after the day of the find",
        ClockKind.HOURS: f"{clock.number} elapsed hours from the time of the find",
        ClockKind.ASAP: "as soon as possible; the law gives no number",
        ClockKind.NONE: "no clock",
    }[clock.kind]
    if clock.guide_months:
        said += f"; guidance says {clock.guide_months} month{'s' if clock.guide_months != 1 else ''}"
    return said if clock.statutory else f"{said} (from guidance, not from the law itself)"
