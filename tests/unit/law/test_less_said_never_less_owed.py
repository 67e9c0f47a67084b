"""Less said is never less owed: for every pack, alone and in a group, with years, shares and counts in ranges.

The order of knowledge is Kleene's (Introduction to Metamathematics, 1952, section 64): an answer on less knowledge
is the same, or unknown. Done-when 1 of the project's order on finds and the law rests on this file and on
test_never_a_false_no.py.
"""

import random
from dataclasses import replace
from itertools import product

import pytest

from law.context import make_contexts
from law.derive import fields_behind
from law.facts import Assay, LandStatus
from law.pack import load_pack, pack_codes
from law.screen import Outcome, Strength, screen_same_find
from law.tri import Tri
from tests import EVERYTHING
from tests.unit.law.make import FOUND
from tests.unit.law.vague import DAYS, FORGETTABLE, METALS, TRI, forget, settled, vaguer

# Rules that step aside once another rule is met for certain: they may be sure on less and fall silent on more.
STEP_ASIDE = {"ni-object", "dk-value"}
TIMES = 2 if EVERYTHING else 1  # as many finds of each kind


def outcomes(code, find):
    """For each record of the same find: its outcome, the rules that are open, and those met for certain."""
    answered = []
    for result in screen_same_find(find, pack=load_pack(code), on=max(DAYS)):
        open_rules = {duty.rule for duty in result.duties}
        sure = {duty.rule for duty in result.duties if duty.strength is Strength.DUTY}
        answered.append((result.outcome, open_rules, sure))
    return answered


def assert_not_less_owed(code, vague, full):
    for (said_less, open_rules, sure), (said_all, full_rules, full_sure) in zip(
        outcomes(code, vague), outcomes(code, full), strict=True
    ):
        assert full_rules <= open_rules, (code, full_rules - open_rules, vague, full)
        assert sure - STEP_ASIDE <= full_sure, (code, sure - full_sure, vague, full)
        assert said_less is not Outcome.NO_DUTY_FOUND or said_all is Outcome.NO_DUTY_FOUND


@pytest.mark.parametrize("code", pack_codes())
def test_any_one_fact_forgotten(code):
    rng = random.Random(code)
    for name in FORGETTABLE * TIMES:
        full = settled(rng)
        assert_not_less_owed(code, [forget(rng, full, name)], [full])


@pytest.mark.parametrize("code", pack_codes())
def test_each_rule_stays_open_whatever_it_rests_on_is_forgotten(code):
    """Every rule of the pack is met by a find made for it; then one, two and all of its facts are forgotten."""
    rng = random.Random(f"rules {code}")
    for rule in load_pack(code).rules:
        names = rests_on(load_pack(code), rule)
        for _ in range(TIMES):
            full = meets(rng, code, rule, names)
            pairs = [rng.sample(names, 2) for _ in range(8)] if len(names) > 1 else []
            for forgotten in [*([name] for name in names), *pairs, names]:
                vague = full
                for name in forgotten:
                    vague = forget(rng, vague, name)
                assert_not_less_owed(code, [vague], [full])


def rests_on(pack, rule):
    """What a rule asks for, in the names of FORGETTABLE, with the rules and exclusions it leans on."""
    found = {"found_on", "same_find", "others_nearby", "worked"}
    todo = [rule.when, *(exclusion.when for exclusion in rule.unless)]
    while todo:
        node = todo.pop()
        todo += [
            *getattr(node, "parts", ()),
            *(getattr(node, each) for each in ("part", "of") if hasattr(node, each)),
        ]
        todo += [pack.rule(each).when for each in getattr(node, "rules", ())]
        facts = node.facts() if hasattr(node, "facts") else ()
        found |= {TOGETHER.get(field, field) for fact in facts for field in fields_behind(fact)}
    for name in sorted(found):
        found |= set(FOLLOWS_FROM.get(name, ()))
    return sorted(found & set(FORGETTABLE))


# What the answer to a fact may follow from besides (law/derive.py), so that it is turned and forgotten too.
FOLLOWS_FROM = {
    "any_metal": METALS,
    "base_metal": ("copper_alloy",),
    "prehistoric": ("made",),
    "church_faculty": ("church_land", "church_of_england"),
    "cathedral": ("church_land", "church_of_england"),
}


TOGETHER = {"made_from": "made", "vessel_lost_from": "vessel_lost", "precious_pct_low": "share"}


def meets(rng, code, rule, names):
    """A find of which all is said and for which the rule holds or may hold."""
    turned = [name for name in names if name in TRI]
    for _ in range(5000):
        full = settled(rng, towards=turned)
        if make_contexts(load_pack(code), [full])[0].rule(rule.id) is not Tri.NO:
            return full
    raise AssertionError(f"{code} {rule.id}: no find meets it")


@pytest.mark.parametrize("code", pack_codes())
def test_many_facts_forgotten(code):
    rng = random.Random(code)
    for _ in range(60 * TIMES):
        full = settled(rng)
        assert_not_less_owed(code, [vaguer(rng, full)], [full])


@pytest.mark.parametrize("code", pack_codes())
def test_facts_of_any_record_of_a_same_find_forgotten(code):
    rng = random.Random(f"group {code}")
    for _ in range(40 * TIMES):
        full = [settled(rng) for _ in range(rng.randint(2, 4))]
        vague = [vaguer(rng, record) if rng.random() < 0.7 else record for record in full]
        assert_not_less_owed(code, vague, full)


@pytest.mark.parametrize("code", pack_codes())
def test_two_like_coins_or_tools_of_which_one_is_known_less_well(code):
    """Groups near the lines of the statutes: two or ten together, where one unknown turns the answer."""
    rng = random.Random(f"pairs {code}")
    for _ in range(80):
        first = near_a_line(rng)
        second = replace(first, found_on=rng.choice(DAYS[-4:]), count=rng.choice([1, 8, 9]))
        full = [first, second]
        vague = [vaguer(rng, record, 2) if rng.random() < 0.7 else record for record in full]
        assert_not_less_owed(code, vague, full)


def near_a_line(rng):
    """A coin or tool left together with another, with metals and years around those of the statutes."""
    share, year = rng.choice([9.9, 10.0]), rng.choice([-900, 1300, 1722, 1725, 1822])
    kind = rng.choice(["coin", "tool"])
    return replace(
        settled(rng, FOUND),
        is_coin=Tri.YES if kind == "coin" else Tri.NO,
        worked=Tri.YES,
        any_metal=Tri.YES,
        silver=Tri.YES,
        base_metal=Tri.YES,
        prehistoric=Tri.YES if year < 1 else Tri.NO,
        same_find=rng.choice([Tri.YES, Tri.YES, Tri.NO]),
        others_nearby=Tri.NO,
        made_from=year,
        made_to=year,
        precious_pct_low=share,
        precious_pct_high=share,
        tidal=Tri.NO,
        in_water=Tri.NO,
        **dict.fromkeys(("church_of_england", "church_faculty", "church_held", "cathedral"), Tri.NO),
    )


CHOICES = {
    "count": [1, 2, 9, 10],
    "found_on": DAYS,
    "depth_cm": [0.0, 30.0, 31.0],
    "land_status": [each for each in LandStatus if each is not LandStatus.UNKNOWN],
    "made": [-900, -1, 1, 399, 1300, 1537, 1649, 1650, 1707, 1725, 1825, 1899, 1918, 1974, 2015],
    "share": [0.0, 9.9, 10.0, 100.0],
    "exceptional": [Tri.YES, Tri.NO],
    "vessel_lost": [1700, 1850, 1925, 1990],
}


def complete(facts, name, value):
    """The find with that thing settled."""
    if name == "made":
        dated = replace(facts, made_from=value, made_to=value)
        stated = Tri.YES if value < 1 else Tri.NO if value > 400 else dated.prehistoric
        return replace(dated, prehistoric=stated)
    if name == "share":
        return replace(facts, precious_pct_low=value, precious_pct_high=value, assay=Assay.BULK)
    if name == "exceptional":
        return replace(facts, exceptional=value, exceptional_by_expert=True)
    if name == "vessel_lost":
        return replace(facts, vessel_lost_from=value, vessel_lost_to=value)
    return replace(facts, **{name: value})


def consistent(facts):
    """Can it be true all at once?"""
    metals = (facts.gold, facts.silver, facts.base_metal, facts.copper_alloy)
    return not (
        (facts.is_coin is Tri.YES and facts.worked is Tri.NO)
        or (facts.any_metal is Tri.NO and Tri.YES in metals)
        or (facts.any_metal is Tri.YES and all(metal is Tri.NO for metal in metals))
        or (facts.base_metal is Tri.NO and facts.copper_alloy is Tri.YES)
        or (facts.precious_pct_low and Tri.YES not in (facts.gold, facts.silver))
        or (facts.church_land is Tri.NO and Tri.YES in (facts.church_of_england, facts.cathedral))
        or (facts.prehistoric is Tri.NO and facts.made_to is not None and facts.made_to < 1)
        or (facts.prehistoric is Tri.YES and facts.made_from is not None and facts.made_from > 400)
    )


@pytest.mark.parametrize("code", pack_codes())
def test_every_completion_of_up_to_five_unknowns(code):
    """Exhaustive: all values of every forgotten thing, also of a companion in the same find."""
    rng = random.Random(f"all {code}")
    tried, rounds = 0, 0
    while rounds < 4 or tried <= 30:  # a sample whose completions contradict each other tries nothing
        rounds += 1
        start = settled(rng, rng.choice(DAYS))
        beside = replace(settled(rng), same_find=Tri.YES)
        names = rng.sample(FORGETTABLE, rng.randint(2, 5))
        vague = start
        for name in names:
            vague = unsaid(vague, name)
        wide = [CHOICES.get(name, [Tri.YES, Tri.NO]) for name in names]
        for values in product(*wide):
            full = vague
            for name, value in zip(names, values, strict=True):
                full = complete(full, name, value)
            if consistent(full):
                assert_not_less_owed(code, [vague, beside], [full, beside])
                tried += 1
    assert rounds < 40, "the samples hardly ever allow a completion"


def unsaid(facts, name):
    """The find with that thing wholly unsaid, whatever it was."""
    blank = {
        "made": {"made_from": None, "made_to": None},
        "share": {"precious_pct_low": None, "precious_pct_high": None, "assay": Assay.NONE},
        "exceptional": {"exceptional": Tri.UNKNOWN, "exceptional_by_expert": False},
        "vessel_lost": {"vessel_lost_from": None, "vessel_lost_to": None},
        "land_status": {"land_status": LandStatus.UNKNOWN},
    }
    default = None if name in ("count", "depth_cm", "found_on") else Tri.UNKNOWN
    return replace(facts, **blank.get(name, {name: default}))
