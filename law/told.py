"""What the answer about a rule rests on, put into words once however many finds rest on the same."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from law.context import Context
from law.leaves import Within
from law.model import Exclusion, Rule
from law.nodes import Said
from law.screening import RuledOut
from law.tri import Tri


def points(ctx: Context, rule: Rule) -> list[Said]:
    """What the rule's answer rests on, the exclusions only where one may hold."""
    in_force = rule.force.value(ctx)
    found = rule.force.points(ctx, in_force) if in_force is Tri.UNKNOWN else []
    found += rule.when.points(ctx, rule.when.value(ctx))
    for exclusion in rule.unless:
        if ctx.excluded(exclusion) is not Tri.NO:
            found += exclusion.when.points(ctx, exclusion.when.value(ctx))
    return found


def _unique(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(word for word in words if word))


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """What the points of one rule say together: the known, the not known, all facts, and those still to be asked."""

    why: tuple[str, ...]
    still_unknown: tuple[str, ...]
    facts: tuple[str, ...]
    missing: tuple[str, ...]


# Ten thousand finds rest on a few thousand combinations of points, and the points themselves are made once each.
@lru_cache(maxsize=1 << 15)
def tell(points: tuple[Said, ...]) -> Told:
    """What these points say together, worked out once."""
    return Told(
        _unique(point.words for point in points if point.value.known),
        _unique(point.words for point in points if not point.value.known),
        _unique(fact for point in points for fact in point.facts),
        _unique(fact for point in points if not point.value.known for fact in point.facts),
    )


@lru_cache(maxsize=1 << 15)
def ruled_out(code: str, rule: Rule, points: tuple[Said, ...]) -> RuledOut:
    """The rule that is a definite no, with its reasons and the facts they rest on."""
    return RuledOut(
        rule=rule.id,
        clause=rule.clause,
        title=rule.title,
        why=_unique(point.words for point in points),
        pack=code,
        facts=_unique(fact for point in points for fact in point.facts),
        source=rule.source,
        checked=rule.checked.label,
    )


def points_against(ctx: Context, rule: Rule) -> list[Said]:
    if rule.force.value(ctx) is Tri.NO:
        return [_out_of_force(rule.force)]
    if rule.when.value(ctx) is Tri.NO:
        return rule.when.points(ctx, Tri.NO)
    lets_off = [e for e in rule.unless if ctx.excluded(e) is Tri.YES]
    return [_lets_off(e, tell(tuple(e.when.points(ctx, e.when.value(ctx)))).facts) for e in lets_off]


@lru_cache(maxsize=1024)
def _lets_off(exclusion: Exclusion, facts: tuple[str, ...]) -> Said:
    return Said(f"{exclusion.title}: {exclusion.clause}.", Tri.YES, facts)


@lru_cache(maxsize=1024)
def _out_of_force(force: Within) -> Said:
    first = f" from {force.first.isoformat()}" if force.first else ""
    last = f" until {force.last.isoformat()}" if force.last else ""
    words = f"The rule applies to finds made{first}{last}; this one was made on another day."
    return Said(words, Tri.NO, ("found_on",))
