"""The drills against the law packs and the public emergency numbers.

Sources: Ofcom, General Conditions of Entitlement A3 (999 and 112, United Kingdom); Directive (EU) 2018/1972 article 109
(112 in the European Union); 47 U.S.C. 251(e)(3) (911, United States): all three from memory. Clauses are those of
law/packs, which name their own sources: Merchant Shipping Act 1995 s.236, Protection of Military Remains Act 1986
ss.1-2, Burial Act 1857 s.25, RCW 27.44.055, Florida Statutes 872.05, Kulturmiljölag (1988:950) 2:10.
"""

import re

import pytest

from hunts.drill_places import PLACES
from hunts.drill_words import WORDS
from hunts.drills import RULES, drill_for, emergency_of, shown
from law.pack import load_packs

BRITISH = ("england", "wales", "scotland", "northern-ireland")
NUMBERS = {code: {"999", "112", "101"} for code in BRITISH}
NUMBERS |= {"isle-of-man": {"999"}, "ireland": {"999", "112"}}
NUMBERS |= {key: {"112"} for key in ("sweden", "norway", "denmark", "netherlands")}
NUMBERS |= {key: {"911"} for key in ("us-federal", "us-washington", "us-florida")}
CODES = sorted(load_packs())


def text(code: str) -> str:
    return " ".join(
        " ".join((row.drill.at_once, *row.drill.steps, row.drill.law, row.emergency))
        for row in shown([], code)
    )


def test_every_law_that_the_club_may_choose_has_its_own_words() -> None:
    assert sorted(PLACES) == CODES == sorted(NUMBERS)


@pytest.mark.parametrize("code", CODES)
def test_no_number_stands_in_a_drill_but_the_public_emergency_numbers(code: str) -> None:
    """Three figures or more that are no distance: everything else is for the club to enter."""
    found = set(re.findall(r"\b\d{3,}\b(?! m\b| years?\b)", text(code)))
    assert found <= NUMBERS[code]
    assert found


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("kind", ["remains", "ordnance"])
def test_remains_and_ordnance_name_the_clause_of_each_place(code: str, kind: str) -> None:
    row = drill_for(kind, code, [])
    assert row is not None
    assert row.rules, f"{code} says nothing about {kind}"


@pytest.mark.parametrize(
    ("kind", "code", "clause"),
    [
        ("remains", "england", "Burial Act 1857 s.25"),
        ("remains", "us-washington", "RCW 27.44.055"),
        ("remains", "us-florida", "Florida Statutes 872.05"),
        ("wreck", "england", "Merchant Shipping Act 1995 s.236"),
        ("wreck", "scotland", "Merchant Shipping Act 1995 s.236"),
        ("wreck", "ireland", "National Monuments (Amendment) Act 1987 s.3(6)(a)"),
        ("aircraft", "wales", "Protection of Military Remains Act 1986 ss.1-2"),
        ("aircraft", "northern-ireland", "Protection of Military Remains Act 1986 ss.1-2"),
        ("deposit", "sweden", "Kulturmiljölag (1988:950) 2:10"),
    ],
)
def test_a_drill_shows_the_clause(kind: str, code: str, clause: str) -> None:
    row = drill_for(kind, code, [])
    assert row is not None
    assert clause in {rule.clause for rule in row.rules}


def test_every_rule_that_a_drill_names_is_in_a_pack() -> None:
    known = {rule.id for pack in load_packs().values() for rule in pack.rules}
    assert frozenset().union(*RULES.values()) <= known


def test_scotland_has_no_coroner_and_ireland_calls_the_garda() -> None:
    assert "There is no coroner in Scotland" in text("scotland")
    assert "Garda" in text("ireland")
    assert "the manager of that land; on tribal land, the tribe" in text("us-federal")
    assert "county coroner" in text("us-washington")


def test_no_drill_says_what_a_thing_is() -> None:
    """Titles and orders speak of what may be; whoever is called decides."""
    for drill in WORDS:
        assert not re.search(
            r"\b(this|it) is (a|an) ", f"{drill.title} {drill.at_once} {' '.join(drill.steps)}"
        )


def test_hunts_over_a_border_name_both_numbers() -> None:
    assert emergency_of(["northern-ireland", "ireland"]) == "999 or 112"
    assert emergency_of(["england", "isle-of-man"]) == "999 or 112; 999"
    assert "your country" in emergency_of([])
