"""When a box asks to be read. Limits as published; reading monthly is common practice (marked so in the module).

Sources: iron at most 10 % relative humidity ideally (conservation guidance on storing dry archaeological iron); copper
alloy below 35 % (a UNESCO manual); silica gel dried every 6 to 18 months
(handbook for finds staff). All three as the project's fact sheet on the trade records them, section 5.6.
"""

from datetime import date

import pytest

from finds.humidity import care_of, is_too_damp, months_after

MADE = date(2025, 1, 1)


@pytest.mark.parametrize(
    ("kind", "percent", "damp"),
    [
        ("iron", 10, False),
        ("iron", 11, True),
        ("copper", 34, False),
        ("copper", 35, True),
        ("room", 90, False),
    ],
)
def test_limits(kind: str, percent: int, damp: bool) -> None:
    assert is_too_damp(kind, percent) is damp


@pytest.mark.parametrize(
    ("today", "status"),
    [
        (date(2025, 6, 30), "open"),
        (date(2025, 7, 1), "soon"),  # six months
        (date(2026, 7, 1), "soon"),  # eighteen months to the day
        (date(2026, 7, 2), "late"),
    ],
)
def test_gel_is_asked_about_from_six_months_and_late_after_eighteen(today: date, status: str) -> None:
    assert care_of("iron", True, MADE, today, 8, MADE, today).status == status


def test_a_card_too_damp_comes_before_all_else() -> None:
    care = care_of("iron", True, MADE, MADE, 15, MADE, MADE)
    assert (care.status, care.words) == ("late", "card says 15 %, the limit is 10 %: dry the gel")


def test_a_card_never_read_asks_at_once() -> None:
    assert care_of("iron", True, MADE, None, None, None, MADE).status == "soon"


def test_a_box_without_limit_and_gel_asks_nothing() -> None:
    assert care_of("room", False, MADE, None, None, None, date(2030, 1, 1)).status == "open"


@pytest.mark.parametrize(
    ("day", "months", "then"),
    [
        (date(2025, 8, 31), 6, date(2026, 2, 28)),
        (date(2025, 1, 1), 12, date(2026, 1, 1)),
        (date(2025, 12, 31), 6, date(2026, 6, 30)),
    ],
)
def test_months_after_end_with_a_short_month(day: date, months: int, then: date) -> None:
    assert months_after(day, months) == then
