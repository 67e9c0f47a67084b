"""The seasons offered to the secretary against the law and the published tables that facts/trade.md 1.5 names.

Sources, read in November 2026 in stored copies of the official pages:
- Game Act 1831 s. 3 (legislation.gov.uk, as enacted): no partridge between 1 February and 1 September, no pheasant
  between 1 February and 1 October, no grouse between 10 December and 12 August. Both days named are days of shooting.
- Wildlife and Countryside Act 1981 s. 2(4): close season of wild duck and geese below high-water mark of ordinary
  spring tides 21 February to 31 August, of others 1 February to 31 August, first and last day included.
- Nitrate Pollution Prevention Regulations 2015 (SI 2015/668) reg. 20(3): closed periods for organic manure with high
  readily available nitrogen.
- Northern Ireland: the season table of the shooting associations.
Lambing, nesting, hay, crops and pasture are common practice and have no outside table: their days are not tested here.
"""

import calendar
from datetime import date, timedelta

import pytest

from permissions.gate import Answer, ClosedPeriodFacts
from permissions.gate.season import covers
from permissions.seasons import BASES, season_of, seasons, seasons_for

# Season: the close season of the Act, whose first and last day are the days after and before the shooting.
CLOSE_SEASONS = {
    "pheasant": ((2, 2), (9, 30)),
    "partridge": ((2, 2), (8, 31)),
    "grouse": ((12, 11), (8, 11)),
    "wildfowl-inland": ((2, 1), (8, 31)),
    "wildfowl-foreshore": ((2, 21), (8, 31)),
}
NORTHERN_IRELAND = {
    "pheasant-ni": ((10, 1), (1, 31)),
    "partridge-ni": ((9, 1), (1, 31)),
    "grouse-ni": ((8, 12), (11, 30)),
    "wildfowl-ni": ((9, 1), (1, 31)),
}
SPREADING = {
    "spreading-grass-sandy": ((9, 1), (12, 31)),
    "spreading-grass-other": ((10, 15), (1, 31)),
    "spreading-arable-sandy": ((8, 1), (12, 31)),
    "spreading-arable-other": ((10, 1), (1, 31)),
}


def shut_days(key: str, year: int) -> set[date]:
    """The days of a calendar year on which the gate takes the season to count, every year anew."""
    season = season_of(key)
    assert season is not None
    starts, ends = season.days(year)
    period = ClosedPeriodFacts("closed:1", season.reason, "", starts, ends, True, Answer(season.effect))
    return {day for day in days_of(year) if covers(period, day)}


def days_of(year: int) -> list[date]:
    return [date(year, 1, 1) + timedelta(n) for n in range(366 if calendar.isleap(year) else 365)]


def days_between(first: tuple[int, int], last: tuple[int, int], year: int) -> set[date]:
    """Counted by month and day alone, over the new year where last comes before first."""
    marks = {day: (day.month, day.day) for day in days_of(year)}
    if first <= last:
        return {day for day, mark in marks.items() if first <= mark <= last}
    return {day for day, mark in marks.items() if mark >= first or mark <= last}


@pytest.mark.parametrize("year", [2023, 2024])
@pytest.mark.parametrize(("key", "close"), CLOSE_SEASONS.items())
def test_a_shooting_season_is_the_gap_in_the_close_season_of_the_act(
    key: str, close: tuple[tuple[int, int], tuple[int, int]], year: int
) -> None:
    assert shut_days(key, year) == set(days_of(year)) - days_between(*close, year)


@pytest.mark.parametrize("year", [2023, 2024])
@pytest.mark.parametrize(("key", "table"), (NORTHERN_IRELAND | SPREADING).items())
def test_a_season_is_as_the_table_gives_it(
    key: str, table: tuple[tuple[int, int], tuple[int, int]], year: int
) -> None:
    assert shut_days(key, year) == days_between(*table, year)


def test_every_season_says_where_it_holds_how_firm_it_is_and_its_source() -> None:
    for season in seasons():
        assert season.basis in BASES
        assert season.region
        assert season.source
        assert season.places


def test_statute_is_said_only_of_what_is_checked_here() -> None:
    by_basis = {basis: {season.key for season in seasons() if season.basis == basis} for basis in BASES}
    assert by_basis["statute"] == {*CLOSE_SEASONS, *SPREADING}
    assert by_basis["table"] == set(NORTHERN_IRELAND)


def test_a_site_in_northern_ireland_is_offered_its_own_seasons() -> None:
    keys = {season.key for season in seasons_for(["northern-ireland"])}
    assert {"pheasant-ni", "ground-nesting"} <= keys
    assert "pheasant" not in keys
    assert seasons_for(["other"]) == seasons()
