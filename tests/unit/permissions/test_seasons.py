"""Closed periods against published dates: the day before, the first, the last and the day after.

Sources, by way of facts/trade.md 1.5: shooting seasons as tabled there, in agreement (from memory) with the
Game Act 1831 s. 3, whose close seasons are the gaps between them; ground-nesting birds, National Trust and
RSPB; nitrate vulnerable zones, closed periods for spreading as farming advisers give them. The lambing window
is one lowland farm's own dates, an example and not a rule.
"""

from datetime import date, timedelta

import pytest

from permissions.gate import Answer, ClosedPeriodFacts, gate, year_of
from permissions.gate.season import covers, reopens
from tests.unit.permissions.make import permission, site, visit

SEASONS = {
    "pheasant": ((10, 1), (2, 1)),
    "partridge": ((9, 1), (2, 1)),
    "pheasant, Northern Ireland": ((10, 1), (1, 31)),
    "partridge, Northern Ireland": ((9, 1), (1, 31)),
    "red grouse": ((8, 12), (12, 10)),
    "red grouse, Northern Ireland": ((8, 12), (11, 30)),
    "duck and goose inland": ((9, 1), (1, 31)),
    "duck and goose on the foreshore": ((9, 1), (2, 20)),
    "ground-nesting birds": ((3, 1), (7, 31)),
    "lambing, one lowland farm": ((2, 22), (4, 4)),
    "spreading, grass, sandy or shallow": ((9, 1), (12, 31)),
    "spreading, grass, other": ((10, 15), (1, 31)),
    "spreading, arable, sandy or shallow": ((8, 1), (12, 31)),
    "spreading, arable, other": ((10, 1), (1, 31)),
}
# Days of the window counted by hand on a calendar, in a year whose February has 28 days and one with 29.
LENGTHS = {"pheasant": 124, "partridge": 154, "red grouse": 121, "ground-nesting birds": 153}


def yearly(name):
    first, last = SEASONS[name]
    # The stored years mean nothing: they are deliberately the wrong way round for half of the windows.
    return ClosedPeriodFacts("closed:1", name, "season", date(2020, *first), date(2020, *last), yearly=True)


def edges(name, year):
    first, last = SEASONS[name]
    start = date(year, *first)
    return start, date(year + (last < first), *last)


@pytest.mark.parametrize("year", [2023, 2024, 2026])
@pytest.mark.parametrize("name", SEASONS)
def test_both_ends_of_a_season_are_inside_and_their_neighbours_outside(name, year):
    period, (first, last), day = yearly(name), edges(name, year), timedelta(days=1)
    assert [covers(period, d) for d in (first - day, first, last, last + day)] == [False, True, True, False]
    assert reopens(period, first) == reopens(period, last) == last + day


@pytest.mark.parametrize(("name", "length"), LENGTHS.items())
def test_a_season_is_as_long_as_the_calendar_says(name, length):
    first, last = edges(name, 2025)
    days = [first + timedelta(days=n) for n in range(-30, 300)]
    assert sum(covers(yearly(name), d) for d in days) == length == (last - first).days + 1


def test_the_shooting_calendar_leaves_the_close_season_of_the_act_open():
    """Game Act 1831 s. 3 (from memory): no pheasant between 1 February and 1 October."""
    open_ended = permission(ends=None, consents=tuple(_endless()))
    shoot = site(closed_periods=(yearly("pheasant"),), field_states=())
    days = year_of(shoot, open_ended, visit(), date(2026, 1, 10), date(2027, 1, 9))
    shut = {d.on for d in days if d.answer is Answer.SHUT}
    assert shut == {d.on for d in days if not date(2026, 2, 1) < d.on < date(2026, 10, 1)}


def _endless():
    return [c.__class__(c.key, c.landholder, c.capacity, c.given_on) for c in permission().consents]


def test_a_window_ending_on_leap_day_ends_with_february():
    period = ClosedPeriodFacts(
        "closed:1", "Lambing", "farm", date(2024, 1, 15), date(2024, 2, 29), yearly=True
    )
    assert reopens(period, date(2026, 2, 1)) == date(2026, 3, 1)
    assert reopens(period, date(2028, 2, 1)) == date(2028, 3, 1)
    assert covers(period, date(2028, 2, 29))
    assert not covers(period, date(2026, 3, 1))


def test_a_window_of_the_whole_year_never_reopens():
    period = ClosedPeriodFacts("closed:1", "Wood", "farm", date(2026, 1, 1), date(2026, 12, 31), yearly=True)
    assert all(covers(period, date(2026, 1, 1) + timedelta(days=n)) for n in range(365))
    assert reopens(period, date(2026, 6, 1)) is None


def test_single_dates_typed_the_wrong_way_round_still_close_the_days_between():
    period = ClosedPeriodFacts("closed:1", "Shoot", "farm", date(2026, 9, 5), date(2026, 9, 3))
    assert [covers(period, date(2026, 9, d)) for d in (2, 3, 4, 5, 6)] == [False, True, True, True, False]


def test_the_words_name_the_last_day_it_is_closed():
    shoot = site(closed_periods=(yearly("partridge"),))
    reason = gate(shoot, permission(), visit(date(2026, 9, 1))).reasons[0]
    assert reason.words == "Closed up to and including 1 February 2027: partridge (season)."
    assert reason.until == date(2027, 2, 2)
