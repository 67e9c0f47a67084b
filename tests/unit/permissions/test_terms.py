"""Terms: how they read, which of two is stricter, and that the stricter binds both."""

from datetime import date, time
from decimal import Decimal

import pytest
from hypothesis import given, settings

from permissions.terms import (
    Capacity,
    DogRule,
    Findspot,
    LivestockRule,
    Per,
    Photographs,
    Sharing,
    Terms,
    Threshold,
    Whole,
    WhoMay,
    clauses,
    contradictions,
    in_words,
    long_date,
    money,
    stricter,
)
from permissions.terms.sharing_words import sharing_in_words
from tests.unit.permissions import strategies as draw

FULL = Terms(
    weekdays=frozenset({5, 6}),
    hours_from=time(9),
    hours_to=time(16, 30),
    max_heads=12,
    who=WhoMay.NAMED_ONLY,
    guests=False,
    juniors=False,
    minimum_age=16,
    notice_hours=48,
    notice_to=frozenset({Capacity.OCCUPIER, Capacity.SPORTING_TENANT}),
    max_vehicles=4,
    depth_limit_cm=25,
    livestock=LivestockRule.NOT_WITH,
    livestock_note="The bull is in Far Carr",
    dogs=DogRule.ON_LEAD,
    fee_per_head=Decimal("7.50"),
    findspot_landholder=Findspot.FULL,
    photographs=Photographs.ASK_FIRST,
    insurance_floor=Decimal(10_000_000),
    termination_days=28,
)


def test_every_term_reads_as_a_sentence_of_the_agreement():
    assert in_words(FULL) == (
        "Only the people named in this agreement may search.",
        "Guests of members may not search.",
        "Juniors may not come.",
        "Nobody under 16 may come.",
        "At most 12 people on one visit.",
        "Searching is allowed on Saturdays and Sundays only, not before 09:00 and not after 16:30.",
        "The club tells the occupier and the sporting tenant at least 48 hours before each visit.",
        "At most 4 vehicles on the land.",
        "No searching while livestock is in the field. The bull is in Far Carr.",
        "Dogs on a lead only.",
        "No hole is dug deeper than 25 cm.",
        "£7.50 a head for each visit.",
        "When an object is worth more than £500, the whole value is shared: 50% to the landholder and"
        " the rest to the finder.",
        "Findspots are shown to the landholder in full, to other members to their 1 km square and to the"
        " public not at all.",
        "Nothing is published before the landholder has agreed to it.",
        "Everybody who searches holds public liability cover of at least £10,000,000 on the day.",
        "Either side may end this agreement with 28 days' notice.",
    )


def test_terms_without_limits_say_so_rather_than_nothing():
    words = " ".join(in_words(Terms()))
    for said in (
        "any day of the week",
        "No notice is needed",
        "number is not limited",
        "No fee",
        "at any time",
    ):
        assert said in words


# facts/trade.md 1.3 and E13: both wordings of the threshold and both rules exist in clubs' agreements.
@pytest.mark.parametrize(
    ("sharing", "said"),
    [
        (
            Sharing(),
            "When an object is worth more than £500, the whole value is shared: 50% to the landholder",
        ),
        (Sharing(wording=Threshold.AT_LEAST), "When an object is worth £500 or more, the whole value"),
        (Sharing(rule=Whole.EXCESS_ONLY), "more than £500, only the part above £500 is shared"),
        (Sharing(per=Per.GROUP), "When a group of objects found together is worth"),
        (Sharing(per=Per.HUNT), "When everything from one hunt is worth"),
        (Sharing(organiser_percent=Decimal("10.0")), "After the organiser's 10%, when an object"),
        (Sharing(landholder_percent=Decimal("45")), "45% to the landholder and the rest to the finder."),
        (Sharing(threshold=Decimal("300")), "more than £300"),
    ],
)
def test_sharing_leaves_no_doubt(sharing, said):
    assert said in sharing_in_words(sharing)


@pytest.mark.parametrize(
    ("amount", "currency", "said"),
    [
        ("10000000", "GBP", "£10,000,000"),
        ("7.5", "GBP", "£7.50"),
        ("6.3", "EUR", "€6.30"),
        ("200", "DKK", "200 DKK"),
        ("NaN", "GBP", "an amount not stated"),
    ],
)
def test_money(amount, currency, said):
    assert money(Decimal(amount), currency) == said


def test_a_long_date_is_english_on_any_server():
    assert long_date(date(2026, 3, 1)) == "1 March 2026"


# Each line: the looser value, the stricter value. Only that term differs.
STRICTER = [
    ("weekdays", None, frozenset({6})),
    ("hours_from", None, time(9)),
    ("hours_from", time(9), time(10)),
    ("hours_to", time(17), time(16)),
    ("max_heads", None, 20),
    ("max_heads", 20, 12),
    ("who", WhoMay.ANY_MEMBER, WhoMay.NAMED_ONLY),
    ("guests", True, False),
    ("juniors", True, False),
    ("minimum_age", 12, 16),
    ("notice_hours", 24, 48),
    ("notice_hours", None, 0),
    ("max_vehicles", 4, 0),
    ("depth_limit_cm", 30, 20),
    ("livestock", LivestockRule.ALLOWED, LivestockRule.NOT_WITH),
    ("dogs", DogRule.ALLOWED, DogRule.NONE),
    ("fee_per_head", Decimal(0), Decimal(10)),
    ("findspot_members", Findspot.FULL, Findspot.SQUARE_1_KM),
    ("photographs", Photographs.NO_PLACES, Photographs.NONE),
    ("insurance_floor", None, Decimal(0)),
    ("insurance_floor", Decimal(5_000_000), Decimal(10_000_000)),
    ("termination_days", 28, 7),
    ("sharing", Sharing(threshold=Decimal(1000)), Sharing(threshold=Decimal(500))),
    ("sharing", Sharing(), Sharing(wording=Threshold.AT_LEAST)),
    ("sharing", Sharing(rule=Whole.EXCESS_ONLY), Sharing()),
    ("sharing", Sharing(organiser_percent=Decimal(10)), Sharing()),
]


@pytest.mark.parametrize(("name", "loose", "strict"), STRICTER)
def test_the_stricter_of_two_wins_whichever_comes_first(name, loose, strict):
    a, b = Terms(**{name: loose}), Terms(**{name: strict})
    assert a.stricter(b) == b.stricter(a) == b
    assert contradictions(a, b) == (name,)


def test_weekdays_that_share_no_day_leave_none():
    merged = Terms(weekdays=frozenset({5})).stricter(Terms(weekdays=frozenset({6})))
    assert merged.weekdays == frozenset()
    assert "no day of the week only" not in " ".join(in_words(merged))


def test_notice_goes_to_all_whom_either_names_but_only_where_notice_is_asked():
    owner = Terms(notice_hours=24, notice_to=frozenset({Capacity.OWNER}))
    tenant = Terms(notice_hours=48, notice_to=frozenset({Capacity.OCCUPIER}))
    silent = Terms(notice_hours=None, notice_to=frozenset({Capacity.AGENT}))
    assert owner.stricter(tenant).notice_to == {Capacity.OWNER, Capacity.OCCUPIER}
    assert owner.stricter(silent).notice_to == silent.stricter(owner).notice_to == {Capacity.OWNER}


def test_money_in_two_currencies_is_not_compared():
    pounds, euros = (
        Terms(fee_per_head=Decimal(10)),
        Terms(fee_per_head=Decimal(20), currency="EUR", max_heads=3),
    )
    merged = stricter(pounds, euros)
    assert (merged.fee_per_head, merged.currency, merged.max_heads) == (Decimal(10), "GBP", 3)
    assert "currency" in contradictions(pounds, euros)


@settings(max_examples=100, deadline=None)
@given(draw.terms, draw.terms)
def test_stricter_is_the_same_both_ways_and_changes_nothing_twice(a, b):
    merged = a.stricter(b)
    assert merged == b.stricter(a)
    assert merged.stricter(a) == merged
    assert a.stricter(a) == a


def test_clauses_keep_the_topics_of_the_agreement():
    topics = [clause.topic for clause in clauses(FULL)]
    assert topics.index("Days and hours") < topics.index("Sharing") < topics.index("Ending")
    assert contradictions(FULL, FULL) == ()
