"""When to balance again, charge and rinse: tables and edges of the pure rules."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hunts.care import SALT_TASKS, STORAGE_TASKS, care_due
from hunts.nudges import WORDS, BatteryUse, Environment, Leg, Met, balance_nudge, battery_use, change_nudge

NINE = datetime(2026, 9, 20, 9, tzinfo=UTC)


def met(environment: Environment, minutes: int, balanced: bool = True) -> Met:
    return Met(environment, NINE + timedelta(minutes=minutes), balanced)


def test_nothing_is_said_before_anything_is_known():
    assert balance_nudge([], at=NINE) == ""


def test_a_fresh_balance_in_the_same_ground_is_left_alone():
    assert balance_nudge([met(Environment.ARABLE, 0)], at=NINE + timedelta(minutes=119)) == ""


def test_the_second_hour_asks_for_it_on_the_minute():
    assert "2.0 hours" in balance_nudge([met(Environment.ARABLE, 0)], at=NINE + timedelta(minutes=120))


@pytest.mark.parametrize(
    ("before", "now", "said"),
    [
        (Environment.DRY_SAND, Environment.WET_SAND, "hardest"),
        (Environment.WET_SAND, Environment.WATER, "under water"),
        (Environment.DRY_SAND, Environment.WATER, "under water"),
        (Environment.WET_SAND, Environment.DRY_SAND, "changed from wet salt sand to dry sand"),
        (Environment.ARABLE, Environment.MINERALISED, "changed from arable to mineralised patch"),
    ],
)
def test_a_change_of_ground_asks_for_it_at_once(before, now, said):
    """Dry to wet salt sand, wet sand to water, a mineralised patch: common practice."""
    walked = [met(before, 0), met(now, 5, balanced=False)]
    assert said in balance_nudge(walked, at=NINE + timedelta(minutes=6))


def test_balancing_on_the_new_ground_settles_it():
    walked = [met(Environment.DRY_SAND, 0), met(Environment.WET_SAND, 5, False), met(Environment.WET_SAND, 7)]
    assert balance_nudge(walked, at=NINE + timedelta(minutes=8)) == ""


def test_a_hole_before_any_reading_asks_to_balance_first():
    said = balance_nudge([met(Environment.PASTURE, 0, False)], at=NINE)
    assert said == "No ground reading yet, and you are in pasture: balance first."


def test_what_lies_ahead_is_not_known_yet():
    walked = [met(Environment.ARABLE, 0), met(Environment.WATER, 60, False)]
    assert balance_nudge(walked, at=NINE + timedelta(minutes=30)) == ""


@given(st.sampled_from(list(Environment)), st.sampled_from(list(Environment)))
@settings(max_examples=81)
def test_only_a_real_change_is_a_change(before, now):
    assert bool(change_nudge(before, now)) == (before is not now)


def test_every_kind_of_ground_has_words():
    assert set(WORDS) == set(Environment)


@pytest.mark.parametrize(("hours", "alert"), [(8.4, False), (8.5, True)], ids=["exactly 70 %", "above 70 %"])
def test_the_battery_alert_is_above_70_percent_of_rated_hours(hours, alert):
    """Alert when hours since charge exceed 70 % of rated: facts/trade.md 4, common practice."""
    used = battery_use([Leg(100, None, 6.0), Leg(None, None, hours - 6.0)], 12)
    assert used.hours == pytest.approx(hours)
    assert bool(used.alert) is alert


def test_a_full_battery_starts_the_count_again():
    legs = [Leg(100, 20, 9.0), Leg(98, 80, 2.0)]
    assert battery_use(legs, 12) == BatteryUse(
        2.0, pytest.approx(2 / 12, abs=1e-5), pytest.approx(100 * 2 / 18), ""
    )


def test_a_battery_that_empties_fast_is_named():
    said = battery_use([Leg(100, 50, 3.0)], 12).alert
    assert said.startswith("At this pace a full charge lasts 6.0 hours, not 12")


def test_without_rated_hours_there_is_no_share():
    used = battery_use([Leg(100, None, 30.0)], None)
    assert (used.share, used.alert) == (None, "")


DAY = date(2026, 9, 20)


def test_salt_asks_for_care_until_all_is_ticked():
    due = care_due(salt_on=DAY, used_on=DAY, ticked={}, on=DAY)
    assert [(each.occasion, len(each.todo)) for each in due] == [("salt", len(SALT_TASKS))]
    ticked = {("salt", DAY, task.code): DAY for task in SALT_TASKS}
    assert care_due(salt_on=DAY, used_on=DAY, ticked=ticked, on=DAY) == []
    later = care_due(salt_on=DAY + timedelta(1), used_on=DAY, ticked=ticked, on=DAY + timedelta(1))
    assert [each.occasion for each in later] == ["salt"]


@pytest.mark.parametrize(("days", "due"), [(30, False), (31, True)])
def test_storage_care_is_due_after_a_month(days, due):
    lists = care_due(salt_on=None, used_on=DAY, ticked={}, on=DAY + timedelta(days))
    assert bool(lists) is due
    if due:
        assert lists[0].todo == STORAGE_TASKS


def test_what_is_ticked_is_shown_with_its_day():
    (due,) = care_due(salt_on=DAY, used_on=DAY, ticked={("salt", DAY, "rinse"): DAY}, on=DAY)
    assert [(task.code, day) for task, day in due.done] == [("rinse", DAY)]
    assert "rinse" not in {task.code for task in due.todo}
