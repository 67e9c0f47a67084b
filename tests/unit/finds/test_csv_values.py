"""What a cell may say, what it means, and what is refused because it could mean two things."""

from collections.abc import Callable
from datetime import date, time
from decimal import Decimal
from typing import Any

import pytest

from finds.csv_values import read_percent, read_shares, read_year
from web.tables.errors import CellError
from web.tables.values import (
    read_choice,
    read_date,
    read_list,
    read_number,
    read_time,
    read_whole,
    read_yes,
)

APRIL = date(2025, 4, 3)


@pytest.mark.parametrize(
    "text",
    [
        "2025-04-03",
        "2025/4/3",
        "20250403",
        "3 April 2025",
        "3rd Apr 2025",
        "April 3, 2025",
        "3-apr-2025",
        "2025-04-03T14:30",
    ],
)
def test_a_date_in_any_form_that_means_one_day(text: str) -> None:
    assert read_date(text) == APRIL


@pytest.mark.parametrize(
    ("text", "day"),
    [("13/04/2025", date(2025, 4, 13)), ("04/13/2025", date(2025, 4, 13)), ("5.5.2025", date(2025, 5, 5))],
)
def test_figures_that_mean_one_day_only_are_taken(text: str, day: date) -> None:
    assert read_date(text) == day


def test_figures_that_mean_two_days_are_refused_naming_both() -> None:
    with pytest.raises(CellError, match="could be 3 April 2025 or 4 March 2025"):
        read_date("03/04/2025")
    assert read_date("03/04/2025", order="day") == APRIL
    assert read_date("03/04/2025", order="month") == date(2025, 3, 4)
    assert read_date("13/04/2025", order="month") == date(2025, 4, 13)


NUMBERS: list[tuple[str, str]] = [
    ("12", "12"),
    ("12.5 g", "12.5"),
    ("12,5g", "12.5"),
    ("0,125", "0.125"),
    (".5", "0.5"),
    ("-5", "-5"),
    ("\u22125", "-5"),
    ("1 250,5", "1250.5"),
    ("1.250,5", "1250.5"),
    ("1,250.5", "1250.5"),
    ("1,250,000", "1250000"),
    ("1'250.5", "1250.5"),
    ("1.250", "1.250"),
]


@pytest.mark.parametrize(("text", "number"), NUMBERS)
def test_a_number_with_point_or_comma(text: str, number: str) -> None:
    assert read_number(text, unit="g") == Decimal(number)


@pytest.mark.parametrize(
    ("text", "share"),
    [("5 %", "5"), ("5", "5"), ("0.5 %", "0.5"), ("92,5%", "92.5"), ("100", "100"), ("0", "0")],
)
def test_a_share_in_per_cent(text: str, share: str) -> None:
    assert read_percent(text) == Decimal(share)


WRONG: list[tuple[Callable[[str], Any], str, str]] = [
    (read_date, "31/02/2025", "is not a date"),
    (read_date, "2025-02-30", "not a day of the calendar"),
    (read_date, "3.4.25", "a year of two figures"),
    (read_date, "3 Avril 2025", "not the name of a month"),
    (read_date, "45750", "is not a date"),
    (read_time, "25:00", "not a time of day"),
    (read_number, "1,250", "could be 1.250 or 1250"),
    (read_number, "12 in", "is in “in”"),
    (read_number, "1.2.3", "is not a number"),
    (read_number, "a few", "is not a number"),
    (read_whole, "1.5", "not a whole number"),
    (read_year, "0", "no year 0"),
    (read_year, "c. 1300", "is not a year"),
    (read_percent, "0.05", "5 % or 0.05 %"),
    (read_percent, "1", "100 % or 1 %"),
    (read_percent, "105", "cannot be a share"),
    (read_percent, "-3", "cannot be a share"),
    (read_yes, "maybe", "give one of: yes"),
]


@pytest.mark.parametrize(("reader", "text", "words"), WRONG)
def test_what_cannot_be_or_could_be_two_things_is_refused(
    reader: Callable[[str], Any], text: str, words: str
) -> None:
    with pytest.raises(CellError) as error:
        reader(text)
    assert words in str(error.value)
    assert error.value.remedy


@pytest.mark.parametrize(
    ("text", "clock"),
    [("14:30", time(14, 30)), ("2:30 pm", time(14, 30)), ("12:05 a.m.", time(0, 5)), ("9.15", time(9, 15))],
)
def test_a_time_of_day(text: str, clock: time) -> None:
    assert read_time(text) == clock


@pytest.mark.parametrize(
    ("text", "year"), [("1205", 1205), ("AD 43", 43), ("50 BC", -50), ("-50", -50), ("44 BCE", -44)]
)
def test_a_year_as_historians_write_it(text: str, year: int) -> None:
    assert read_year(text) == year


def meaning(text: str) -> tuple[str, str]:
    return read_choice(text, {"silver": "silver", "Copper alloy": "copper alloy", "iron": "iron"}), ""


def test_materials_with_and_without_shares() -> None:
    found = read_shares("Silver 92,5 %; copper alloy (brass) 7.5", meaning)
    assert found == {("silver", ""): Decimal("92.5"), ("copper alloy", "brass"): Decimal("7.5")}
    assert read_shares("silver, iron", meaning) == {("silver", ""): None, ("iron", ""): None}
    with pytest.raises(CellError, match="add up to 110"):
        read_shares("silver 60; iron 50", meaning)
    with pytest.raises(CellError, match="listed twice"):
        read_shares("iron | iron", meaning)


def test_a_list_knows_a_comma_between_words_from_one_in_a_number() -> None:
    assert read_list("a, b; c\nd | 1,5 + 'e") == ["a", "b", "c", "d", "1,5", "'e"]
