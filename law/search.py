"""Rules on searching itself, and what they say of one place, day and plan, for a gate to use."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from law.context import Context
from law.facts import FindFacts
from law.model import Checked, Effect, Pack, SearchRule
from law.place import PLACE_NAMES, PlaceFacts
from law.records import Record, SameFind
from law.tri import Tri, tri

__all__ = ["PlaceFacts", "SearchAnswer", "SearchRule", "licences_needed", "search_answers", "search_rules"]


@dataclass(frozen=True, slots=True)
class SearchAnswer:
    """One search rule that bites or may bite. `certain` is false when a fact is missing."""

    code: str
    words: str
    effect: Effect
    clause: str
    lifted_by: str
    lifted_words: str
    certain: bool
    checked: str
    pack: str = ""


def search_rules(pack: Pack) -> tuple[SearchRule, ...]:
    """Every search rule of the pack, in its order."""
    return pack.search_rules


def licences_needed(pack: Pack) -> dict[str, str]:
    """Each licence that lifts some search rule of the pack, and its name in words."""
    return {rule.lifted_by: rule.lifted_words for rule in pack.search_rules if rule.lifted_by}


def search_answers(pack: Pack, place: PlaceFacts) -> tuple[SearchAnswer, ...]:
    """What stands in the way of searching there on that day, the shut first; empty when nothing does.

    A rule that is met shuts or asks as it says; one that may be met asks, and so does one that was never
    checked. The licence that lifts a rule silences it. The owner's leave is a gate of its own.
    """
    answers = tuple(_answers(pack, place))
    return tuple(sorted(answers, key=lambda answer: answer.effect is not Effect.SHUT))


def _answers(pack: Pack, place: PlaceFacts) -> Iterable[SearchAnswer]:
    said = {name: getattr(place, name) for name in PLACE_NAMES}
    facts = FindFacts(found_on=place.on, land_status=place.land_status)
    ctx = Context(pack, SameFind([Record(facts, said, place.on)]), 0, place.on)
    for rule in pack.search_rules:
        value = _bites(rule, ctx, place)
        if value is not Tri.NO and rule.lifted_by not in place.licences:
            yield _answer(pack.code, rule, value)


def _bites(rule: SearchRule, ctx: Context, place: PlaceFacts) -> Tri:
    value = rule.force.value(ctx) & rule.when.value(ctx)
    if rule.depth_over_cm is not None:
        value = value & _compare(place.depth_cm, lambda cm: cm > (rule.depth_over_cm or 0))
    if rule.distance_at_most_m is not None:
        value = value & _compare(place.distance_m, lambda m: m <= (rule.distance_at_most_m or 0))
    return value


def _compare(number: float | None, test: Callable[[float], bool]) -> Tri:
    return Tri.UNKNOWN if number is None else tri(test(number))


def _answer(pack: str, rule: SearchRule, value: Tri) -> SearchAnswer:
    sure = value is Tri.YES and rule.checked is not Checked.MEMORY
    return SearchAnswer(
        code=rule.id,
        words=rule.words,
        effect=rule.effect if sure else Effect.ASK,
        clause=rule.clause,
        lifted_by=rule.lifted_by,
        lifted_words=rule.lifted_words,
        certain=value is Tri.YES,
        checked=rule.checked.label,
        pack=pack,
    )
