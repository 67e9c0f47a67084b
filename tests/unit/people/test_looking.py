"""When looks are unusual. The figures are the house's own, read from the table that the program uses."""

from datetime import UTC, datetime, timedelta

import pytest

from people.looking import WINDOWS, unusual

AT = datetime(2026, 3, 1, 12, tzinfo=UTC)
HOUR, DAY = WINDOWS


def looks(places: int, *, apart: timedelta = timedelta(seconds=5), ending: datetime = AT):
    return [(ending - apart * number, f"find:{number}") for number in range(places)]


@pytest.mark.parametrize("window", WINDOWS, ids=lambda window: window.words)
def test_one_place_fewer_than_the_limit_is_work(window) -> None:
    assert unusual(looks(window.places - 1, apart=window.span / (window.places + 1)), at=AT) is None


@pytest.mark.parametrize("window", WINDOWS, ids=lambda window: window.words)
def test_the_limit_itself_is_unusual(window) -> None:
    apart = window.span / (window.places + 1)
    found = unusual(looks(window.places, apart=apart), at=AT)
    assert found is not None
    assert (found.places, found.within) == (window.places, window.words)
    assert found.since == AT - apart * (window.places - 1)


def test_the_same_place_again_and_again_is_one() -> None:
    assert unusual([(AT - timedelta(seconds=n), "group:1") for n in range(500)], at=AT) is None


def test_what_is_a_window_old_is_over() -> None:
    old = looks(HOUR.places, apart=timedelta(0), ending=AT - HOUR.span)
    assert unusual(old, at=AT) is None
    assert unusual([(when + timedelta(microseconds=1), place) for when, place in old], at=AT) is not None


def test_an_hour_under_the_limit_again_and_again_fills_the_day() -> None:
    few = [look for hour in range(4) for look in _hour(hour)]
    found = unusual(few, at=AT)
    assert found is not None
    assert found.within == DAY.words


def _hour(hour: int):
    start = AT - timedelta(hours=hour)
    return [(start, f"find:{hour}-{number}") for number in range(HOUR.places - 2)]


def test_looks_of_tomorrow_do_not_count() -> None:
    assert unusual(looks(HOUR.places, ending=AT + timedelta(hours=3)), at=AT) is None
