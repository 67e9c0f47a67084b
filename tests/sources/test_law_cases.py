"""Worked cases of each law pack against the clause named beside them; the tables are in `law_cases/`."""

import tomllib
from datetime import date, datetime
from pathlib import Path

import pytest

from law.facts import FindFacts
from law.pack import load_pack
from law.screen import Outcome, Screening, Strength, screen

TABLES = Path(__file__).parent / "law_cases"
LATER = date(
    2031, 1, 1
)  # a day after every case, so that the day of belief decides and not the day of screening


def cases():
    for path in sorted(TABLES.glob("*.toml")):
        table = tomllib.loads(path.read_text(encoding="utf-8"))
        for case in table.get("case", []):
            yield pytest.param(table, case, id=f"{path.stem}: {case['name']}")


CASES = list(cases())


def make(base, raw):
    merged = {**base, **raw}
    plain = {k: v.isoformat() if isinstance(v, date) else v for k, v in merged.items() if v != ""}
    return FindFacts.from_dict(plain)


def screened(table, case) -> Screening:
    base = {} if case.get("bare") else table["base"]
    facts = make(base, case["facts"])
    return screen(
        facts,
        group=[make(base, raw) for raw in case.get("group", [])],
        pack=load_pack(case.get("pack", table["pack"])),
        on=LATER,
    )


@pytest.mark.parametrize(("table", "case"), CASES)
def test_case_gives_the_duties_of_its_clause(table, case):
    assert case["clause"]
    result = screened(table, case)
    strengths = {duty.rule: duty.strength for duty in result.duties}
    for rule in case.get("met", []):
        assert strengths.get(rule) is Strength.DUTY, (rule, result.duties)
    for rule in case.get("possible", []):
        assert strengths.get(rule) is Strength.POSSIBLE, (rule, strengths)
    for rule in case.get("absent", []):
        assert rule in {ruled.rule for ruled in result.ruled_out}
    assert result.outcome is expected_outcome(case)


@pytest.mark.parametrize(("table", "case"), CASES)
def test_case_falls_due_on_the_day_of_its_clause(table, case):
    result = screened(table, case)
    clocks = {duty.rule: duty.due for duty in result.duties}
    for rule, day in case.get("due", {}).items():
        due = clocks[rule]
        assert (due.at if isinstance(day, datetime) else due.on) == day, (rule, due)
    for rule, day in case.get("guide", {}).items():
        assert (clocks[rule].guide, clocks[rule].statutory, clocks[rule].asap) == (day, False, True)
    for rule in case.get("asap", []):
        assert clocks[rule].asap
        assert clocks[rule].on is clocks[rule].at is None


@pytest.mark.parametrize(("table", "case"), CASES)
def test_case_asks_weighs_and_excludes_as_told(table, case):
    result = screened(table, case)
    if "weight" in case:
        assert result.weight == case["weight"]
    assert set(case.get("asks", [])) <= {unknown.fact for unknown in result.unknowns}
    assert set(case.get("excluded", [])) <= {e.exclusion for e in result.exclusions if e.certain}
    assert set(case.get("drills", [])) <= {drill.drill for drill in result.drills}


def expected_outcome(case) -> Outcome:
    if "outcome" in case:
        return Outcome(case["outcome"])
    if case.get("met"):
        return Outcome.DUTY
    assert case.get("possible"), "the case expects nothing"
    return Outcome.POSSIBLE_DUTY
