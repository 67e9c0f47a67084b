"""Ages and years beside a line in the law. "At least" and "more than" are compared as the clauses say them."""

from datetime import date

import pytest

from law.ages import Made, at_least_years, birthday, more_than_years, prehistoric, up_to_year
from law.tri import Tri

Y, N, U = Tri.YES, Tri.NO, Tri.UNKNOWN
FOUND = date(2025, 3, 10)


def years(first, last):
    return Made(None, first, last)


@pytest.mark.parametrize(
    ("made", "answer"),
    [
        (Made(date(1725, 3, 10), 1725, 1725), Y),
        (Made(date(1725, 3, 11), 1725, 1725), N),
        (years(1600, 1724), Y),
        (years(1600, 1725), U),
        (years(1725, 1725), U),
        (years(1726, 1800), N),
        (years(None, 1700), Y),
        (years(1800, None), N),
        (years(None, None), U),
        (years(-799, -43), Y),
    ],
)
def test_at_least_300_years_as_the_treasure_act_says(made, answer):
    assert at_least_years(made, 300, FOUND) is answer


def test_a_pad_of_one_year_only_widens_the_doubt():
    assert at_least_years(years(1724, 1724), 300, FOUND) is Y
    assert at_least_years(years(1724, 1724), 300, FOUND, pad=1) is U
    assert at_least_years(years(1723, 1723), 300, FOUND, pad=1) is Y
    assert at_least_years(years(1726, 1726), 300, FOUND, pad=1) is U
    assert at_least_years(years(1727, 1727), 300, FOUND, pad=1) is N


def test_exact_age_is_not_more_than_it():
    lost = Made(date(1925, 3, 10), 1925, 1925)
    assert at_least_years(lost, 100, FOUND) is Y
    assert more_than_years(lost, 100, FOUND) is N
    assert more_than_years(Made(date(1925, 3, 9), 1925, 1925), 100, FOUND) is Y
    assert more_than_years(years(1925, 1925), 100, FOUND) is U


@pytest.mark.parametrize(
    ("found", "at_least", "more"),
    [
        (date(2024, 12, 31), Y, U),
        (date(2024, 12, 30), U, U),
        (date(2024, 1, 1), U, N),
        (date(2023, 12, 31), N, N),
    ],
)
def test_the_first_and_last_day_of_the_year_count(found, at_least, more):
    made = years(1724, 1724)
    assert at_least_years(made, 300, found) is at_least
    assert more_than_years(made, 300, found) is more


def test_made_on_a_leap_day_is_reached_early_rather_than_late():
    assert birthday(date(1724, 2, 29), 300) == date(2024, 2, 29)
    assert birthday(date(1724, 2, 29), 301) == date(2025, 2, 28)


def test_no_day_of_finding_settles_no_age():
    assert at_least_years(years(100, 200), 300, None) is U


@pytest.mark.parametrize(
    ("made", "line", "answer"),
    [
        (years(1649, 1649), 1649, Y),
        (years(1650, 1650), 1649, N),
        (years(1500, 1600), 1537, U),
        (years(None, 1500), 1537, Y),
        (years(0, 0), -1, Y),
        (years(1, 1), -1, N),
    ],
)
def test_made_in_or_before_a_year(made, line, answer):
    assert up_to_year(made, line) is answer


@pytest.mark.parametrize(
    ("stated", "made", "answer"),
    [
        (U, years(-1200, -900), Y),
        (U, years(10, 60), U),
        (U, years(401, 500), N),
        (N, years(100, 200), N),
        (Y, years(30, 60), Y),
        (N, years(-1200, -900), U),
        (Y, years(1500, 1600), U),
        (U, years(None, None), U),
    ],
)
def test_prehistoric_from_what_was_said_and_the_years(stated, made, answer):
    assert prehistoric(stated, made) is answer
