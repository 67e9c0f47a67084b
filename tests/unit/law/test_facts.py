"""Facts of a find: what is refused, what is kept, and the digest."""

import json
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from law.facts import Assay, FactsError, FindFacts, LandStatus, astronomical, historical
from law.tri import Tri


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"found_at": datetime(2025, 3, 10, 9)}, "no time zone"),
        ({"made_from": 0}, "no year 0"),
        ({"made_from": 100, "made_to": -50}, "100 comes after -50"),
        ({"vessel_lost_from": 1900, "vessel_lost_to": 1850}, "1900 comes after 1850"),
        ({"precious_pct_low": 101}, "101 % of precious metal"),
        ({"precious_pct_low": 20, "precious_pct_high": 10}, "from 20 % to 10 %"),
        ({"count": 0}, "record of 0 objects"),
        ({"depth_cm": -1}, "depth of -1 cm"),
    ],
)
def test_impossible_fact_is_refused_with_its_value(wrong, message):
    with pytest.raises(FactsError, match=message):
        FindFacts(**wrong)


def test_nothing_said_is_unknown_never_no():
    facts = FindFacts()
    assert not [v for v in (getattr(facts, n) for n in FindFacts.__slots__) if v is Tri.NO]


def test_everything_survives_json():
    facts = FindFacts(
        ref="R-1",
        jurisdiction="england",
        found_at=datetime(2025, 3, 10, 9, 30, tzinfo=UTC),
        realised_on=date(2025, 4, 2),
        is_coin=Tri.YES,
        assay=Assay.BULK,
        precious_pct_low=9.9,
        count=None,
        made_from=-44,
        made_to=43,
        made_on=date(1725, 3, 10),
        land_status=LandStatus.STATE,
        exceptional_by_expert=True,
    )
    assert FindFacts.from_dict(json.loads(json.dumps(facts.to_dict()))) == facts


@given(
    st.builds(FindFacts, is_coin=st.sampled_from(Tri), gold=st.sampled_from(Tri), count=st.integers(1, 99))
)
@settings(max_examples=100)
def test_digest_survives_storing(facts):
    assert FindFacts.from_dict(facts.to_dict()).digest() == facts.digest()


def test_digest_changes_with_the_facts_and_not_with_the_label():
    facts = FindFacts(ref="A", is_coin=Tri.YES)
    assert replace(facts, ref="B").digest() == facts.digest()
    assert replace(facts, is_coin=Tri.NO).digest() != facts.digest()


@pytest.mark.parametrize(
    ("stored", "message"),
    [
        ({"colour": "green"}, "“colour” is not a fact"),
        ({"is_coin": "perhaps"}, "is_coin: “perhaps”"),
        ({"found_on": "10/03/2025"}, "found_on: “10/03/2025”"),
    ],
)
def test_stored_facts_that_cannot_be_read_are_named(stored, message):
    with pytest.raises(FactsError, match=message):
        FindFacts.from_dict(stored)


def test_years_without_a_year_0_turn_both_ways():
    assert [astronomical(y) for y in (-44, -1, 1, 43)] == [-43, 0, 1, 43]
    assert all(historical(astronomical(y)) == y for y in (-1000, -1, 1, 2000))
