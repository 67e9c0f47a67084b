"""Statutory clocks against days counted by hand from the clause named beside each."""

from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from law.clock import Clock, ClockKind, Due, add_months, beginning_with, due, hours_after

DUBLIN = ZoneInfo("Europe/Dublin")
ON = date(2030, 1, 1)


@pytest.mark.parametrize(
    ("found", "belief", "last"),
    [
        # Treasure Act 1996 s.8(2): 14 days beginning with the later of the day after finding and belief.
        (date(2025, 3, 10), date(2025, 3, 10), date(2025, 3, 24)),
        (date(2025, 3, 10), date(2025, 3, 11), date(2025, 3, 24)),
        (date(2025, 3, 10), date(2025, 3, 12), date(2025, 3, 25)),
        (date(2025, 3, 10), date(2025, 4, 2), date(2025, 4, 15)),
        (date(2024, 2, 20), date(2024, 2, 20), date(2024, 3, 5)),
        (date(2025, 12, 24), date(2025, 12, 24), date(2026, 1, 7)),
        (date(2025, 3, 10), date(2025, 3, 1), date(2025, 3, 24)),
    ],
)
def test_fourteen_days_of_the_treasure_act(found, belief, last):
    assert beginning_with(found, belief, 14) == last


@given(st.dates(date(1998, 1, 1), date(2090, 1, 1)), st.integers(0, 5000))
@settings(max_examples=100)
def test_treasure_clock_is_the_formula_of_the_facts(found, wait):
    belief = found + timedelta(days=wait)
    assert beginning_with(found, belief, 14) == max(found + timedelta(1), belief) + timedelta(13)


@pytest.mark.parametrize(
    ("found", "last"),
    [
        # National Monuments Acts (Ireland) 1930 s.23(3): 96 elapsed hours, across both changes of the clocks.
        (datetime(2025, 5, 10, 14, 30, tzinfo=DUBLIN), datetime(2025, 5, 14, 14, 30, tzinfo=DUBLIN)),
        (datetime(2025, 10, 25, 12, 0, tzinfo=DUBLIN), datetime(2025, 10, 29, 11, 0, tzinfo=DUBLIN)),
        (datetime(2025, 3, 29, 12, 0, tzinfo=DUBLIN), datetime(2025, 4, 2, 13, 0, tzinfo=DUBLIN)),
    ],
)
def test_ninety_six_elapsed_hours(found, last):
    moment = hours_after(found, 96, "Europe/Dublin")
    assert moment == last
    assert (moment.hour, moment.minute) == (last.hour, last.minute)
    assert moment.astimezone(UTC) - found.astimezone(UTC) == timedelta(hours=96)


@pytest.mark.parametrize(
    ("day", "months", "later"),
    [
        (date(2025, 3, 10), 1, date(2025, 4, 10)),
        (date(2025, 1, 31), 1, date(2025, 2, 28)),
        (date(2024, 1, 31), 1, date(2024, 2, 29)),
        (date(2025, 12, 31), 2, date(2026, 2, 28)),
    ],
)
def test_a_month_later_stays_in_the_month(day, months, later):
    assert add_months(day, months) == later


def clocked(kind, number=0, *, found=date(2025, 3, 10), found_at=None, belief=None, on=ON, **more):
    clock = Clock(kind, number, **more)
    return due(clock, found=found, found_at=found_at, belief=belief, on=on, tz="Europe/London")


def test_days_after_counts_from_the_day_of_finding():
    assert clocked(ClockKind.DAYS_AFTER, 28).on == date(2025, 4, 7)


def test_asap_invents_no_day_and_its_guide_is_not_statutory():
    plain = clocked(ClockKind.ASAP)
    guided = clocked(ClockKind.ASAP, guide_months=1)
    assert (plain.asap, plain.on, plain.at, plain.guide) == (True, None, None, None)
    assert (guided.guide, guided.statutory) == (date(2025, 4, 10), False)


def test_belief_left_out_counts_as_the_day_of_finding():
    assert clocked(ClockKind.BEGINNING_WITH, 14).on == date(2025, 3, 24)


def test_belief_after_the_screening_counts_as_the_day_of_screening():
    late = clocked(ClockKind.BEGINNING_WITH, 14, belief=date(2025, 6, 1), on=date(2025, 4, 1))
    assert late.on == date(2025, 4, 14)


def test_without_a_day_it_is_due_as_soon_as_possible_and_asks_for_it():
    answer = clocked(ClockKind.BEGINNING_WITH, 14, found=None)
    assert answer.asap
    assert "Say on which day" in answer.words


def test_hours_from_a_day_alone_start_at_its_midnight():
    assert clocked(ClockKind.HOURS, 96).at == datetime(2025, 3, 14, tzinfo=ZoneInfo("Europe/London"))


@pytest.mark.parametrize(
    "made",
    [
        Due(on=date(2025, 3, 24), words="counted"),
        Due(at=datetime(2025, 3, 24, 9, tzinfo=timezone(timedelta(hours=1)))),
        Due(asap=True, guide=date(2025, 4, 10), statutory=False),
    ],
)
def test_due_survives_storing(made):
    assert Due.from_dict(made.to_dict()) == made
    assert made.last_day is not None
