"""What a record says to the law packs: nothing that nobody said, and less said is never less owed."""

import random
from datetime import UTC, date, datetime
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest

from finds.legal import facts_of
from finds.models import Find, FindMaterial
from finds.models.find import Material
from law.facts import FindFacts
from law.pack import load_pack, pack_codes
from law.screen import Outcome, Strength, screen
from law.tri import Tri
from permissions.models import ProtectedCheck, Site
from tests.unit.law.vague import TRI

FOUND_AT = datetime(2025, 3, 10, 12, tzinfo=UTC)
METALS = ("gold", "silver", "copper alloy", "lead", "iron", "tin", "other metal")
OTHERS = ("pottery", "flint", "glass", "bone", "other")
# What is worked out from the list of materials, so it is not also answered at random.
OF_THE_LIST = {"gold", "silver", "base_metal", "copper_alloy", "any_metal"}
ON_THE_RECORD = {"is_coin", "dug", "detector_used", "tidal", "church_land", "protected_place"}
STEP_ASIDE = {"ni-object", "dk-value"}


def record(code: str = "england", **said: Any) -> Find:
    """A record that is not saved. `materials` gives shares by material, `check` what the official maps said."""
    site = Site(
        pk=1, jurisdiction=code, tidal=said.pop("tidal", "unknown"), church_land=said.pop("church", "unknown")
    )
    check, materials = said.pop("check", ""), said.pop("materials", {})
    site._prefetched_objects_cache = {
        "protected_checks": [ProtectedCheck(pk=1, checked_on=date(2025, 1, 2), result=check)] if check else []
    }
    find = Find(pk=1, site=site, number="F2025-0001", found_at=FOUND_AT, **said)
    find._prefetched_objects_cache = {
        "materials": [
            FindMaterial(material=material, share_percent=None if share is None else Decimal(str(share)))
            for material, share in materials.items()
        ]
    }
    return find


def test_a_blank_record_says_no_to_nothing() -> None:
    facts = facts_of(record())
    assert [name for name in TRI if getattr(facts, name) is Tri.NO] == []
    assert (facts.made_from, facts.depth_cm, facts.precious_pct_high) == (None, None, None)


@pytest.mark.parametrize("material", Material.values)
def test_one_material_listed_says_of_no_other_that_it_is_absent(material: str) -> None:
    facts = facts_of(record(materials={material: None}))
    assert [name for name in TRI if getattr(facts, name) is Tri.NO] == []
    assert facts.any_metal is (Tri.YES if material in METALS else Tri.UNKNOWN)


@pytest.mark.parametrize(
    ("materials", "answers", "low", "high"),
    [
        ({"gold": 5}, {}, 5, 100),  # nobody said that it has no silver
        ({"gold": 5}, {"silver": "no"}, 5, 5),
        ({"gold": 5, "silver": 8}, {}, 13, 13),
        ({"gold": 5, "copper alloy": 95}, {}, 5, 5),
        ({"gold": 5, "copper alloy": 60}, {}, 5, 40),
        ({"gold": 60, "silver": None}, {}, 60, 100),
        ({"silver": None, "copper alloy": 95}, {}, 0, 5),
        ({"silver": None}, {}, None, None),
        ({"copper alloy": 95}, {}, None, None),
        ({"silver": 105}, {}, 100, 100),
    ],
)
def test_shares_say_how_much_gold_and_silver_there_is_at_least_and_at_most(
    materials: dict[str, int | None], answers: dict[str, str], low: int | None, high: int | None
) -> None:
    facts = facts_of(record(materials=materials, facts=answers))
    assert (facts.precious_pct_low, facts.precious_pct_high) == (low, high)


def test_a_tenth_of_gold_and_silver_together_is_not_ruled_out_by_a_little_gold_alone() -> None:
    """Treasure Act 1996 s.1(1)(a)(i) counts both metals together: 5 % gold may stand beside 5 % silver."""
    ring: dict[str, Any] = {
        "year_from": 1500,
        "year_to": 1599,
        "is_coin": "no",
        "tidal": "no",
        "church": "no",
    }
    ring["facts"] = {"assay": "bulk", "worked": "yes", "church_faculty": "no"}
    pack = load_pack("england")
    alone = screen(facts_of(record(materials={"gold": 5}, **dict(ring))), pack=pack, on=FOUND_AT)
    assert "ta-1" in {duty.rule for duty in alone.duties}
    both = screen(facts_of(record(materials={"gold": 5, "silver": 5}, **dict(ring))), pack=pack, on=FOUND_AT)
    assert "ta-1" in {duty.rule for duty in both.duties if duty.strength is Strength.DUTY}


def test_years_that_are_only_possible_never_make_a_thing_too_young() -> None:
    """Treasure Act 1996 s.3(6): what can reasonably be taken to be of an age is presumed to be, unless shown not."""
    sure = facts_of(record(year_from=1950, year_to=1960, certainty="certain"))
    guess = facts_of(record(year_from=1950, year_to=1960, certainty="possible"))
    assert (sure.made_from, sure.made_to) == (1950, 1960)
    assert (guess.made_from, guess.made_to) == (None, 1960)


@pytest.mark.parametrize(
    ("check", "placing", "said"),
    [
        ("clear", "inside", Tri.NO),
        ("clear", "", Tri.NO),
        ("clear", "outside", Tri.UNKNOWN),
        ("clear", "uncertain", Tri.UNKNOWN),
        ("buffer", "inside", Tri.UNKNOWN),
        ("touches", "outside", Tri.YES),
        ("", "inside", Tri.UNKNOWN),
    ],
)
def test_a_clear_check_of_the_site_clears_only_what_lies_in_it(check: str, placing: str, said: Tri) -> None:
    assert facts_of(record(check=check, placing=placing)).protected_place is said


def test_a_check_made_after_the_find_clears_nothing() -> None:
    find = record(check="clear")
    find.found_at = datetime(2025, 1, 1, 12, tzinfo=UTC)
    assert facts_of(find).protected_place is Tri.UNKNOWN


def truth(rng: random.Random) -> dict[str, Any]:
    """Everything there is to say of one object, without contradiction."""
    metals = rng.sample(METALS, rng.randint(0, 3))
    cuts = sorted(rng.sample(range(1, 100), max(len(metals) - 1, 0)))
    parts = [after - before for before, after in pairwise([0, *cuts, 100])] if metals else []
    shares = dict(zip(metals, parts, strict=True))
    materials = shares | dict.fromkeys(rng.sample(OTHERS, rng.randint(0, 2)))
    year = rng.choice([-900, 30, 1300, 1725, 1850, 1960])
    coin = rng.choice(["yes", "no"])
    names = [name for name in TRI if name not in OF_THE_LIST | ON_THE_RECORD]
    answers = {name: rng.choice(["yes", "no", "no"]) for name in names}
    answers |= {
        "assay": "bulk",
        "exceptional_by_expert": True,
        "prehistoric": "yes" if year < 43 else "no",
        "worked": "yes" if coin == "yes" else answers["worked"],
        "any_metal": "yes" if metals else "no",
        "gold": "yes" if "gold" in metals else "no",
        "silver": "yes" if "silver" in metals else "no",
        "copper_alloy": "yes" if "copper alloy" in metals else "no",
        "base_metal": "yes" if set(metals) - {"gold", "silver"} else "no",
        "same_find": "yes",
    }
    church = rng.choice(["yes", "no"])
    if church == "no":
        answers |= dict.fromkeys(("church_of_england", "cathedral"), "no")
    return {
        "materials": materials,
        "year_from": year,
        "year_to": year,
        "certainty": "certain",
        "is_coin": coin,
        "depth_cm": rng.choice([0, 30, 31]),
        "tidal": rng.choice(["yes", "no"]),
        "church": church,
        "check": rng.choice(["clear", "touches"]),
        "placing": "inside",
        "facts": answers,
        "hole_id": 7,
        "group_id": 9,
    }


def less_said(rng: random.Random, all_said: dict[str, Any]) -> dict[str, Any]:
    """The same record before somebody filled it in: fields blank, materials not listed, shares not weighed."""
    said = {name: value for name, value in all_said.items() if rng.random() < 0.7}
    listed = {m: s for m, s in all_said["materials"].items() if rng.random() < 0.7}
    said["materials"] = {m: s if rng.random() < 0.5 else None for m, s in listed.items()}
    kept = {name: value for name, value in all_said["facts"].items() if rng.random() < 0.6}
    if "exceptional_by_expert" not in kept and kept.get("exceptional") == "no":
        del kept["exceptional"]
    said["facts"] = kept
    if "certainty" in said and rng.random() < 0.5:
        said["certainty"] = "possible"
    return said


def open_and_sure(facts: FindFacts, code: str) -> tuple[Outcome, set[str], set[str]]:
    result = screen(facts, pack=load_pack(code), on=FOUND_AT)
    sure = {duty.rule for duty in result.duties if duty.strength is Strength.DUTY}
    return result.outcome, {duty.rule for duty in result.duties}, sure


@pytest.mark.parametrize("code", pack_codes())
def test_a_record_filled_in_never_gains_a_duty_that_the_blank_one_did_not_name(code: str) -> None:
    rng = random.Random(code)
    for _ in range(120):
        whole = truth(rng)
        part = less_said(rng, whole)
        early, open_rules, sure = open_and_sure(facts_of(record(code, **part)), code)
        late, full_rules, _ = open_and_sure(facts_of(record(code, **whole)), code)
        assert full_rules <= open_rules, (part, whole)
        assert sure - STEP_ASIDE <= full_rules, (part, whole)
        assert early is not Outcome.NO_DUTY_FOUND or late is Outcome.NO_DUTY_FOUND
