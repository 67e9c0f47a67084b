"""Which answers stop everything: only a yes, the most dangerous first, and never a plain scatter."""

from dataclasses import fields
from itertools import product

import pytest

from finds.stops import ANY_OF, stops_of
from law.facts import FindFacts
from law.tri import Tri

KNOWN = {field.name for field in fields(FindFacts)}
TRIS = [*sorted(name for names in ANY_OF.values() for name in names), "observed_only", "others_nearby"]


@pytest.mark.parametrize(("kind", "fact"), [(kind, fact) for kind, names in ANY_OF.items() for fact in names])
def test_each_of_these_answers_stops_everything_by_itself(kind: str, fact: str) -> None:
    assert fact in KNOWN
    assert stops_of(FindFacts(**{fact: Tri.YES})) == {kind: (fact,)}


def test_something_seen_and_left_with_others_beside_it_is_a_deposit() -> None:
    facts = FindFacts(observed_only=Tri.YES, others_nearby=Tri.YES)
    assert stops_of(facts) == {"deposit": ("observed_only", "others_nearby")}


@pytest.mark.parametrize("fact", ["others_nearby", "observed_only", "same_find", "gold", "worked"])
def test_these_alone_do_not_send_people_home(fact: str) -> None:
    assert stops_of(FindFacts(**{fact: Tri.YES})) == {}


def test_the_most_dangerous_comes_first() -> None:
    facts = FindFacts(**dict.fromkeys(TRIS, Tri.YES))
    assert list(stops_of(facts)) == ["ordnance", "remains", "aircraft", "wreck", "deposit"]


def test_one_yes_more_never_takes_a_stop_away() -> None:
    """All answers to any two of the questions, each with one more yes."""
    for first, second, more in product(TRIS, repeat=3):
        for one, two in product(Tri, repeat=2):
            answers = {first: one, second: two}
            before = stops_of(FindFacts(**answers))
            assert before.keys() <= stops_of(FindFacts(**answers | {more: Tri.YES})).keys()
