"""What a screening says: words, order, questions, weights, storing, and its refusals."""

import json
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from law.derive import fact_names
from law.facts import Assay, FindFacts
from law.pack import UnknownJurisdictionError, load_pack, pack_codes
from law.screen import Outcome, Screening, Strength, Weight, screen, screen_same_find
from law.tri import Tri
from law.words import WORDS
from tests.unit.law.make import FOUND, duty_of, make_facts, screen_in

Y, N, U = Tri.YES, Tri.NO, Tri.UNKNOWN

RING = {"silver": Y, "precious_pct_low": 92, "assay": Assay.BULK, "made_from": 1500, "made_to": 1599}
PENNY = {**RING, "is_coin": Y, "made_from": 1205, "made_to": 1240}


def test_duty_says_why_to_whom_and_by_when():
    duty = duty_of(screen_in("england", make_facts(**RING)), "ta-1")
    assert duty.clause == "Treasure Act 1996 s.1(1)(a)(i)"
    assert duty.why == (
        "It is an object other than a coin.",
        "It was at least 300 years old when found.",
        "At least 10% of its metal by weight is gold or silver.",
    )
    assert duty.still_unknown == ()
    assert duty.authority == "Coroner for the district of the find"
    assert duty.due.on == date(2025, 3, 24)
    assert (duty.strength, duty.weight, duty.firm) == (Strength.DUTY, Weight.TEST, True)


def test_possible_duty_says_what_is_still_unknown_and_asks_it():
    result = screen_in("england", make_facts(**{**RING, "assay": Assay.SURFACE}))
    duty = duty_of(result, "ta-1")
    assert duty.strength is Strength.POSSIBLE
    assert duty.still_unknown == (
        "At least 10% of its metal by weight may be gold or silver; only a bulk assay can settle it.",
    )
    asked = {unknown.fact: unknown for unknown in result.unknowns}
    assert asked["precious_pct_low"].would_change == ("ta-1",)
    assert asked["precious_pct_low"].question.endswith("?")


def test_ruled_out_says_the_reason():
    result = screen_in("england", make_facts(**RING, found_on=date(2010, 1, 1)))
    reasons = {ruled.rule: ruled.why for ruled in result.ruled_out}
    assert reasons["ta-5"] == (
        "The rule applies to finds made from 2023-07-30; this one was made on another day.",
    )
    assert reasons["ta-4b"] == ("It is later than the Iron Age.",)


def test_ruled_out_by_an_exclusion_names_its_clause():
    result = screen_in("england", make_facts(**RING, worked=N))
    reasons = {ruled.rule: ruled.why for ruled in result.ruled_out}
    assert "Treasure Act 1996 s.1(2)" in reasons["ta-1"][0]
    assert [e.exclusion for e in result.exclusions if e.certain] == ["natural"]


def test_stop_comes_before_tests_and_tests_before_judgement():
    facts = make_facts(**RING, human_remains=Y, exceptional_by_expert=False)
    result = screen_in("england", facts)
    assert [duty.rule for duty in result.duties] == ["human-remains", "ta-1", "ta-5"]
    assert [drill.drill for drill in result.drills] == ["remains"]


def test_judgement_alone_weighs_less_than_a_test():
    plain = make_facts(copper_alloy=Y, made_from=1700, made_to=1750, exceptional_by_expert=False)
    assert screen_in("england", plain).weight is Weight.JUDGEMENT
    assert screen_in("england", replace(plain, exceptional=Y)).weight is Weight.TEST
    assert screen_in("england", make_facts()).weight is None


def test_unanswered_safety_question_weighs_as_judgement_and_shows_no_drill():
    result = screen_in("england", make_facts(ordnance=U))
    assert duty_of(result, "ordnance").weight is Weight.JUDGEMENT
    assert result.outcome is Outcome.POSSIBLE_DUTY
    assert result.drills == ()


def test_first_due_is_the_clock_that_runs_out_first():
    facts = make_facts(
        found_on=None, found_at=datetime(2025, 5, 10, 9, tzinfo=UTC), in_water=Y, of_interest=Y
    )
    result = screen_in("ireland", facts)
    assert result.first_due == duty_of(result, "ie-object").due
    assert screen_in("ireland", make_facts()).first_due is None


def test_duty_to_be_done_at_once_is_the_first_due():
    result = screen_in("england", make_facts(**RING, human_remains=Y))
    assert result.first_due.asap


def test_local_day_of_the_find_counts_and_not_the_day_in_utc():
    late = datetime(2025, 7, 1, 23, 30, tzinfo=UTC)  # half past midnight on 2 July in London
    duty = duty_of(screen_in("england", make_facts(**RING, found_on=None, found_at=late)), "ta-1")
    assert duty.due.on == date(2025, 7, 16)


def test_time_of_screening_is_read_in_the_place():
    facts = make_facts(**RING, realised_on=date(2026, 1, 1))
    night = screen_in("england", facts, on=datetime(2025, 7, 1, 23, 30, tzinfo=UTC))
    assert duty_of(night, "ta-1").due.on == date(2025, 7, 15)


def test_find_dated_after_the_screening_is_pointed_out():
    result = screen_in("england", make_facts(**RING), on=date(2025, 3, 1))
    assert any("2025-03-10, is still to come" in caution for caution in result.cautions)


def test_time_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="no time zone"):
        screen_in("england", make_facts(), on=datetime(2025, 7, 1, 23, 30))


def test_find_of_another_place_is_refused():
    with pytest.raises(UnknownJurisdictionError, match="jersey"):
        screen_in("england", make_facts(jurisdiction="jersey"))
    with pytest.raises(UnknownJurisdictionError, match="wales"):
        screen_in("england", make_facts(), group=[make_facts(jurisdiction="wales")])


@pytest.mark.parametrize("code", pack_codes())
def test_screening_survives_storing(code):
    for facts in (make_facts(), FindFacts(found_on=FOUND), make_facts(**RING, human_remains=Y)):
        result = screen_in(code, facts)
        assert Screening.from_dict(json.loads(json.dumps(result.to_dict()))) == result
        assert result.facts_digest == facts.digest()
        assert (result.pack_code, result.pack_version) == (code, load_pack(code).version)


@pytest.mark.parametrize("code", pack_codes())
def test_every_screening_defers_to_the_authority(code):
    assert "not legal advice" in screen_in(code, make_facts()).cautions[0]


def test_whole_same_find_is_screened_as_one_by_one():
    find = [make_facts(**PENNY), make_facts(**RING), make_facts(copper_alloy=Y, found_on=date(2025, 4, 1))]
    pack, on = load_pack("england"), date(2025, 12, 1)
    together = screen_same_find(find, pack=pack, on=on)
    alone = [screen(f, group=[*find[:i], *find[i + 1 :]], pack=pack, on=on) for i, f in enumerate(find)]
    assert together == alone
    assert duty_of(together[2], "ta-7").strength is Strength.DUTY


def test_group_that_may_not_belong_leaves_the_answer_open():
    other = make_facts(**PENNY, same_find=U)
    duty = duty_of(screen_in("england", make_facts(**PENNY), group=[other]), "ta-2")
    assert duty.strength is Strength.POSSIBLE
    apart = make_facts(**PENNY, same_find=N)
    assert "ta-2" in {r.rule for r in screen_in("england", make_facts(**PENNY), group=[apart]).ruled_out}


@pytest.mark.parametrize("code", pack_codes())
def test_every_unknown_points_at_fields_of_a_find(code):
    for unknown in screen_in(code, FindFacts()).unknowns:
        assert unknown.question.endswith(("?", "day."))
        assert set(unknown.fields) <= set(FindFacts.__slots__)
        assert unknown.would_change


def test_every_fact_has_its_words():
    assert fact_names() <= set(WORDS)


def test_count_not_known_may_be_enough():
    facts = make_facts(is_coin=Y, copper_alloy=Y, made_from=200, made_to=250, count=None)
    assert duty_of(screen_in("england", facts), "ta-3").strength is Strength.POSSIBLE


def test_rule_from_memory_is_never_a_firm_duty():
    duty = duty_of(screen_in("isle-of-man", make_facts(**RING)), "im-treasure-object")
    assert (duty.strength, duty.firm) == (Strength.POSSIBLE, False)
    assert duty.checked.startswith("unchecked")


def test_contradiction_leans_towards_reporting():
    facts = make_facts(**{**RING, "silver": N})
    assert duty_of(screen_in("england", facts), "ta-1").strength is Strength.DUTY


@pytest.mark.parametrize("code", pack_codes())
def test_words_never_accuse_nor_value(code):
    duties = screen_in(code, FindFacts(found_on=FOUND)).duties
    words = " ".join(f"{duty.title} {duty.duty} {' '.join(duty.why)}" for duty in duties).lower()
    for word in ("guilty", "criminal", "stolen", "worth", "£"):
        assert word not in words
