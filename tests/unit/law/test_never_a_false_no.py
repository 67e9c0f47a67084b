"""No unknown may hide a duty: forgetting a fact never removes one, and no completion of a “no” gives one."""

import random
from dataclasses import fields, replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from law.facts import Assay, FindFacts, LandStatus
from law.pack import load_pack, pack_codes
from law.screen import Outcome, Strength, screen
from law.tri import Tri
from tests.unit.law.make import FOUND, ORDINARY, make_facts

TRI = [f.name for f in fields(FindFacts) if f.type == "Tri"]
YEARS = [
    (-900, -700),
    (-50, 60),
    (200, 250),
    (1500, 1600),
    (1649, 1650),
    (1700, 1750),
    (1800, 1860),
    (1950, 1990),
]
UNSAID = {f.name: f.default for f in fields(FindFacts)}
PACKS = st.sampled_from(pack_codes())

tri_facts = st.fixed_dictionaries({}, optional={name: st.sampled_from(Tri) for name in TRI})
other_facts = st.fixed_dictionaries(
    {
        "years": st.sampled_from(YEARS),
        "count": st.sampled_from([1, 1, 2, 10]),
        "land": st.sampled_from(LandStatus),
    },
    optional={
        "share": st.sampled_from([(5.0, 9.9), (10.0, 10.0), (8.0, 60.0)]),
        "assay": st.sampled_from(Assay),
    },
)


@st.composite
def finds(draw):
    """An ordinary find with some facts changed at random, never against each other."""
    names = draw(st.lists(st.sampled_from(TRI), max_size=12, unique=True))
    facts = {name: draw(st.sampled_from(Tri)) for name in names}
    other = draw(other_facts)
    low, high = other.get("share", (None, None))
    made = FindFacts(
        **{
            **ORDINARY,
            **facts,
            "made_from": other["years"][0],
            "made_to": other["years"][1],
            "count": other["count"],
            "land_status": other["land"],
            "precious_pct_low": low,
            "precious_pct_high": high,
            "assay": other.get("assay", Assay.NONE),
        }
    )
    return mend(made)


def mend(facts):
    """The same find with the facts that contradict others unsaid."""
    for name in ("any_metal", "gold", "base_metal", "church_land", "worked", "prehistoric"):
        if not consistent(facts):
            facts = replace(facts, **{name: Tri.UNKNOWN})
    assert consistent(facts)
    return facts


def consistent(facts):
    """Can these facts all be true at once? A “no metal” brooch of gold is a slip, not a find."""
    parts = (facts.gold, facts.silver, facts.base_metal, facts.copper_alloy)
    church = (facts.church_of_england, facts.cathedral)
    prehistoric_years = facts.made_to is not None and facts.made_to < 1
    historic_years = facts.made_from is not None and facts.made_from > 400
    return not (
        (facts.any_metal is Tri.NO and Tri.YES in parts)
        or (facts.any_metal is Tri.YES and all(part is Tri.NO for part in parts))
        or (facts.precious_pct_low and facts.gold is facts.silver is Tri.NO)
        or (facts.precious_pct_low and facts.any_metal is Tri.NO)
        or (facts.base_metal is Tri.NO and facts.copper_alloy is Tri.YES)
        or (facts.church_land is Tri.NO and Tri.YES in church)
        or (facts.is_coin is Tri.YES and facts.worked is Tri.NO)
        or (facts.prehistoric is Tri.NO and prehistoric_years)
        or (facts.prehistoric is Tri.YES and historic_years)
    )


def answers(code, facts, group=()):
    result = screen(facts, group=group, pack=load_pack(code), on=FOUND)
    return result, {duty.rule: duty.strength for duty in result.duties}


# Rules that step aside when another rule is met for certain; the outcome is compared for them, not the rule.
STEP_ASIDE = {"ni-object", "dk-value"}


@given(PACKS, finds(), st.sampled_from(sorted(UNSAID)))
@settings(max_examples=200, deadline=None)
def test_forgetting_a_fact_never_removes_a_possible_duty(code, facts, name):
    if name == "exceptional_by_expert":
        forgotten = replace(facts, exceptional=Tri.UNKNOWN, exceptional_by_expert=False)
    elif name in ("count", "found_on"):
        forgotten = replace(facts, **{name: None})
    else:
        forgotten = replace(facts, **{name: UNSAID[name]})
    _, before = answers(code, facts)
    result, after = answers(code, forgotten)
    assert set(before) - STEP_ASIDE <= set(after)
    assert not before or result.outcome is not Outcome.NO_DUTY_FOUND


def completions(facts, names):
    """Every find in which each of `names` is settled, contradictions left out."""
    for values in product((Tri.YES, Tri.NO), repeat=len(names)):
        full = replace(facts, **dict(zip(names, values, strict=True)))
        if consistent(full):
            yield full


@given(PACKS, finds(), st.sets(st.sampled_from(TRI), min_size=1, max_size=4))
@settings(max_examples=120, deadline=None)
def test_no_completion_of_a_no_gives_a_duty(code, facts, names):
    unknown = replace(facts, **dict.fromkeys(names, Tri.UNKNOWN))
    result, open_rules = answers(code, unknown)
    sure = {rule for rule, strength in open_rules.items() if strength is Strength.DUTY}
    for full in completions(unknown, sorted(names)):
        full_result, full_rules = answers(code, full)
        assert set(full_rules) - STEP_ASIDE <= set(open_rules)
        assert sure - STEP_ASIDE <= set(full_rules)
        if result.outcome is Outcome.NO_DUTY_FOUND:
            assert full_result.outcome is Outcome.NO_DUTY_FOUND


@given(PACKS, finds(), finds())
@settings(max_examples=100, deadline=None)
def test_a_neighbour_nobody_recorded_is_already_allowed_for(code, facts, neighbour):
    unknown = replace(facts, others_nearby=Tri.UNKNOWN)
    _, open_rules = answers(code, unknown)
    found = replace(neighbour, same_find=Tri.YES, others_nearby=Tri.NO)
    _, together = answers(code, replace(unknown, others_nearby=Tri.NO), group=[found])
    assert set(together) - STEP_ASIDE <= set(open_rules)


@pytest.mark.parametrize("code", pack_codes())
def test_years_left_out_allow_for_every_year(code):
    rng = random.Random(code)
    for _ in range(30):
        facts = make_facts(**{name: rng.choice(list(Tri)) for name in rng.sample(TRI, 4)})
        undated = replace(facts, made_from=None, made_to=None)
        _, open_rules = answers(code, undated)
        for first, last in YEARS:
            dated = replace(undated, made_from=first, made_to=last)
            if consistent(dated):
                assert set(answers(code, dated)[1]) - STEP_ASIDE <= set(open_rules)


@pytest.mark.parametrize("code", pack_codes())
def test_a_find_about_which_nothing_is_said_is_a_possible_duty(code):
    result, _ = answers(code, FindFacts(found_on=FOUND))
    assert result.outcome is Outcome.POSSIBLE_DUTY
    assert result.unknowns


@pytest.mark.parametrize("code", pack_codes())
def test_an_ordinary_modern_find_of_which_all_is_said_gives_no_duty(code):
    result, _ = answers(code, make_facts())
    assert result.outcome is Outcome.NO_DUTY_FOUND
    assert not result.unknowns
    assert {ruled.rule for ruled in result.ruled_out} == {rule.id for rule in load_pack(code).rules}
    assert all(ruled.why for ruled in result.ruled_out)
