"""Every rule of every pack can be read: its conditions, its clock, its exclusions, in words."""

from collections.abc import Iterator

import pytest

from law.clock import ClockKind
from law.leaves import Fact, Possible
from law.leaves_together import Met
from law.nodes import All, AnyOf, Not
from law.pack import load_pack, pack_codes
from law.place import PLACE_NAMES
from law.place_words import PLACE_WORDS, place_or_find_words
from law.rule_words import Condition, clock_words, condition, rule_condition
from law.tri import Tri


def lines(part: Condition) -> Iterator[str]:
    yield part.words
    for inner in part.parts:
        yield from lines(inner)


@pytest.mark.parametrize("code", pack_codes())
def test_every_rule_of_every_pack_is_told_in_words(code: str) -> None:
    pack = load_pack(code)
    for rule in (*pack.rules, *pack.search_rules):
        said = list(lines(rule_condition(rule, pack)))
        assert len(said) > 1
        assert all(words and "_" not in words for words in said), said
    for rule in pack.rules:
        words = clock_words(rule.clock)
        assert (str(rule.clock.number) in words) is (rule.clock.number > 0)
        assert ("no number" in words) is (rule.clock.kind is ClockKind.ASAP)


def test_every_fact_of_a_place_has_words_both_ways() -> None:
    for fact in PLACE_NAMES:
        assert place_or_find_words(fact, Tri.YES) != place_or_find_words(fact, Tri.NO)
    assert set(PLACE_WORDS) <= PLACE_NAMES


def test_a_negation_is_told_as_what_must_not_be() -> None:
    pack = load_pack("england")
    gold, silver = Fact("gold"), Fact("silver")
    assert condition(Not(gold), pack) == Condition("It has no gold.")
    assert condition(Not(Not(gold)), pack) == Condition("It has some gold.")
    assert condition(Not(AnyOf((gold, silver))), pack).words == "None of these:"
    assert condition(Not(All((gold, silver))), pack).words == "Not all of these together:"
    assert condition(Not(Possible(gold)), pack).words == "This is certainly not so:"
    assert "None of these rules" in condition(Not(Met(("ta-1",))), pack).words
