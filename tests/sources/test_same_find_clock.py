"""Objects of one same find that came up on different days: what each is owed for, and from which day its clock runs.

Treasure Act 1996 c. 24, as the law sheet of this project read it: s.8(1) whoever finds an object that they believe, or
have reasonable grounds to believe, is treasure must notify the coroner before the end of the notice period; s.8(2) the
period is fourteen days beginning with (a) the day after the find or (b), if later, the day on which the finder first
believes or has reason to believe. s.8(3) is the offence. s.1(1)(a)(ii) counts the coins "in the same find" as each is
found, s.1(1)(d) what was found at the same time or earlier. The days themselves are counted by hand.
"""

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from law.facts import Assay
from law.pack import load_pack
from law.screen import Screening, Strength, screen_same_find
from law.tri import Tri
from tests.unit.law.make import duty_of, make_facts

COIN: dict[str, Any] = {
    "is_coin": Tri.YES, "silver": Tri.YES, "precious_pct_low": 92.0, "precious_pct_high": 92.0, "assay": Assay.BULK,
    "made_from": 1205, "made_to": 1247,
}  # fmt: skip
TEST = "ta-2"


def day(number: int) -> date:
    """A day of March 2025."""
    return date(2025, 3, number)


def screened(*found: date, on: date = date(2025, 12, 1), **facts: Any) -> list[Screening]:
    """Silver pennies of one same find, found on these days, nothing else near any of them."""
    finds = [make_facts(**(COIN | {"found_on": when} | facts)) for when in found]
    return screen_same_find(finds, pack=load_pack("england"), on=on)


def test_two_coins_of_one_day_have_fourteen_days_from_the_day_after() -> None:
    both = screened(day(10), day(10))
    assert [duty_of(each, TEST).due.on for each in both] == [day(24), day(24)]
    assert [duty_of(each, TEST).strength for each in both] == [Strength.DUTY, Strength.DUTY]


def test_the_second_coin_gives_reason_to_believe_of_the_first() -> None:
    """Found on the 1st and the 20th: the 20th is day 1 of the first coin's period, the 21st of the second's."""
    first, second = screened(day(1), day(20))
    assert duty_of(second, TEST).due.on == day(20) + timedelta(14)
    assert duty_of(first, TEST).due.on == day(20) + timedelta(13)
    assert "reason to believe from 20 March 2025" in duty_of(first, TEST).due.counted


def test_the_first_coin_is_possible_and_the_second_sure() -> None:
    first, second = screened(day(1), day(20))
    assert duty_of(first, TEST).strength is Strength.POSSIBLE
    assert duty_of(second, TEST).strength is Strength.DUTY


def test_a_third_coin_does_not_start_the_clock_again() -> None:
    dues = [duty_of(each, TEST).due.on for each in screened(day(1), day(5), day(20))]
    assert dues == [day(5) + timedelta(13), day(5) + timedelta(14), day(20) + timedelta(14)]


def test_what_was_said_of_the_day_of_belief_stands() -> None:
    first, second = screened(day(1), day(20), realised_on=day(3))
    assert duty_of(first, TEST).due.on == day(3) + timedelta(13)
    assert duty_of(second, TEST).due.on == day(20) + timedelta(14)


def test_while_others_may_lie_near_the_first_coins_clock_runs_from_its_own_day() -> None:
    first, _ = screened(day(1), day(20), others_nearby=Tri.UNKNOWN)
    assert duty_of(first, TEST).due.on == day(1) + timedelta(14)


def test_a_coin_whose_day_is_not_known_may_have_been_there_from_the_start() -> None:
    finds = [make_facts(**(COIN | {"found_on": day(1)})), make_facts(**(COIN | {"found_on": None}))]
    first = screen_same_find(finds, pack=load_pack("england"), on=day(31))[0]
    assert duty_of(first, TEST).due.on == day(1) + timedelta(14)


def test_the_tenth_base_coin_gives_reason_to_believe_of_the_nine() -> None:
    """s.1(1)(a)(iii): ten coins of whatever metal, each at least 300 years old."""
    base = {"is_coin": Tri.YES, "copper_alloy": Tri.YES, "made_from": 250, "made_to": 300}
    finds = [make_facts(**base, found_on=day(2)) for _ in range(9)] + [make_facts(**base, found_on=day(16))]
    *nine, tenth = screen_same_find(finds, pack=load_pack("england"), on=day(31))
    assert {duty_of(each, "ta-3").due.on for each in nine} == {day(16) + timedelta(13)}
    assert duty_of(tenth, "ta-3").due.on == day(16) + timedelta(14)


def test_a_thing_found_before_the_silver_ring_is_owed_from_the_ring_on() -> None:
    """s.1(1)(d): a sherd of the same find, found earlier than what meets a test."""
    sherd = make_facts(found_on=day(1))
    ring = make_facts(**(COIN | {"is_coin": Tri.NO, "found_on": day(12)}))
    first, second = screen_same_find([sherd, ring], pack=load_pack("england"), on=day(31))
    assert duty_of(second, "ta-1").due.on == day(12) + timedelta(14)
    assert duty_of(first, "ta-7").due.on == day(12) + timedelta(13)


def test_belief_cannot_come_after_the_day_of_the_screening() -> None:
    first, _ = screened(day(1), day(20), on=day(20))
    assert duty_of(first, TEST).due.on == day(20) + timedelta(13)


@given(st.lists(st.integers(1, 28), min_size=2, max_size=6))
def test_each_coins_clock_runs_from_its_own_day_or_the_first_that_made_two(days: list[int]) -> None:
    found = [day(number) for number in days]
    second = sorted(found)[1]
    for when, screening in zip(found, screened(*found), strict=True):
        expected = max(when + timedelta(1), second) + timedelta(13)
        assert duty_of(screening, TEST).due.on == expected


@pytest.mark.parametrize("code", ["ireland", "scotland"])
def test_clocks_that_do_not_ask_for_belief_do_not_move(code: str) -> None:
    alone = screen_same_find([make_facts(**(COIN | {"found_on": day(1)}))], pack=load_pack(code), on=day(31))[
        0
    ]
    finds = [make_facts(**(COIN | {"found_on": day(1)})), make_facts(**COIN, found_on=day(20))]
    together = screen_same_find(finds, pack=load_pack(code), on=day(31))[0]
    dues = [{duty.rule: duty.due for duty in each.duties} for each in (alone, together)]
    assert all(dues[1][rule] == due for rule, due in dues[0].items())
