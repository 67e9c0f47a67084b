"""Each kind of clock against the words of its clause, day by day and across changes of the clocks.

The clauses are quoted as the law files of this project hold them; days are counted by hand.
"""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from law.clock import Clock, ClockKind, Due, due
from law.pack import load_pack, pack_codes
from law.together import screen_place
from law.tri import Tri
from tests.unit.law.make import make_facts

LONDON, DUBLIN, PACIFIC = "Europe/London", "Europe/Dublin", "America/Los_Angeles"
LATER = date(2031, 1, 1)


def counted(kind: ClockKind, number: int, tz: str, found: date | datetime, belief: date | None = None) -> Due:
    at = found if isinstance(found, datetime) else None
    day = at.astimezone(ZoneInfo(tz)).date() if at else found
    assert not isinstance(day, datetime)
    return due(Clock(kind, number, words="."), found=day, found_at=at, belief=belief, on=LATER, tz=tz)


@pytest.mark.parametrize(
    "found", [date(2026, 5, 3), date(2024, 2, 20), date(2025, 12, 25), date(2026, 3, 28)]
)
def test_fourteen_days_beginning_with_the_day_after_are_fourteen_whole_days(found: date) -> None:
    # Treasure Act 1996 s.8(2)(a): "14 days beginning with the day after the find": that day is the first of them.
    answer = counted(ClockKind.BEGINNING_WITH, 14, LONDON, found)
    days = [found + timedelta(1 + n) for n in range(14)]
    assert answer.on == days[-1]
    assert f"day 14 is {answer.on.day} " in answer.counted
    assert "which is day 1" in answer.counted


@pytest.mark.parametrize(
    ("belief", "last"),
    [
        # s.8(2)(b): or, if later, beginning with the day on which the finder first believes, that day included.
        (date(2026, 5, 3), date(2026, 5, 17)),
        (date(2026, 5, 4), date(2026, 5, 17)),
        (date(2026, 5, 5), date(2026, 5, 18)),
        (date(2026, 6, 30), date(2026, 7, 13)),
    ],
)
def test_the_later_day_begins_the_fourteen(belief: date, last: date) -> None:
    answer = counted(ClockKind.BEGINNING_WITH, 14, LONDON, date(2026, 5, 3), belief)
    assert answer.on == last


def test_the_words_spell_out_the_count() -> None:
    assert counted(ClockKind.BEGINNING_WITH, 14, LONDON, date(2026, 5, 3)).counted == (
        "Found 3 May 2026 → 14 days beginning with 4 May 2026, which is day 1 → day 14 is 17 May 2026, "
        "until 23:59 (Europe/London)."
    )
    late = counted(ClockKind.BEGINNING_WITH, 14, LONDON, date(2026, 5, 3), date(2026, 6, 1)).counted
    assert "from 1 June 2026 → 14 days beginning with 1 June 2026" in late


@pytest.mark.parametrize(
    ("found", "last"),
    [
        (date(2025, 3, 10), date(2025, 4, 7)),
        (date(2024, 2, 10), date(2024, 3, 9)),
        (date(2025, 2, 10), date(2025, 3, 10)),
    ],
)
def test_twenty_eight_days_of_the_receiver_of_wreck(found: date, last: date) -> None:
    # Merchant Shipping Act 1995 s.236, 28 days as official guidance tells it: the day of the find is not one of them.
    answer = counted(ClockKind.DAYS_AFTER, 28, LONDON, found)
    assert answer.on == last
    assert "28 days after that day" in answer.counted


@pytest.mark.parametrize(
    ("tz", "hours", "found", "last", "changes"),
    [
        # National Monuments (Amendment) Act 1930 s.23 as amended: within 96 hours. Irish clocks, both changes of 2026.
        (DUBLIN, 96, "2026-05-03T10:00+01:00", "2026-05-07T10:00+01:00", False),
        (DUBLIN, 96, "2026-03-28T10:00+00:00", "2026-04-01T11:00+01:00", True),
        (DUBLIN, 96, "2026-10-24T10:00+01:00", "2026-10-28T09:00+00:00", True),
        # In the hour that comes twice, the first and the second are an hour apart, and so are their ends.
        (DUBLIN, 96, "2026-10-25T01:30+01:00", "2026-10-29T00:30+00:00", True),
        (DUBLIN, 96, "2026-10-25T01:30+00:00", "2026-10-29T01:30+00:00", False),
        # 25 USC 3002(d) with official guidance: a written record within 24 hours. Pacific clocks, both changes of 2026.
        (PACIFIC, 24, "2026-03-07T12:00-08:00", "2026-03-08T13:00-07:00", True),
        (PACIFIC, 24, "2026-10-31T12:00-07:00", "2026-11-01T11:00-08:00", True),
        (PACIFIC, 24, "2026-07-04T23:30-07:00", "2026-07-05T23:30-07:00", False),
    ],
)
def test_hours_are_elapsed_hours_and_told_in_the_zone_of_the_place(
    tz: str, hours: int, found: str, last: str, changes: bool
) -> None:
    start, end = datetime.fromisoformat(found), datetime.fromisoformat(last)
    answer = counted(ClockKind.HOURS, hours, tz, start)
    assert answer.at is not None
    assert (answer.at.isoformat(), answer.at - start) == (end.isoformat(), timedelta(hours=hours))
    assert ("The clocks change in between" in answer.counted) is changes


@pytest.mark.parametrize(
    ("code", "found", "day", "last"),
    [
        # Half past midnight in summer is still the day before in UTC: the local day counts.
        ("england", datetime(2026, 5, 2, 23, 30, tzinfo=UTC), date(2026, 5, 3), date(2026, 5, 17)),
        ("england", datetime(2026, 3, 28, 23, 30, tzinfo=UTC), date(2026, 3, 28), date(2026, 4, 11)),
        ("england", datetime(2026, 3, 29, 23, 30, tzinfo=UTC), date(2026, 3, 30), date(2026, 4, 13)),
        ("england", datetime(2026, 10, 24, 23, 30, tzinfo=UTC), date(2026, 10, 25), date(2026, 11, 8)),
    ],
)
def test_the_day_of_the_find_is_the_local_one(code: str, found: datetime, day: date, last: date) -> None:
    ring = make_facts(found_on=None, found_at=found, gold=Tri.YES, made_from=1600, made_to=1650)
    result = screen_place(ring, code=code, on=LATER)
    answer = next(duty.due for duty in result.duties if duty.rule == "ta-1")
    assert answer.on == last
    assert f"Found {day.day} " in answer.counted


@pytest.mark.parametrize("code", pack_codes())
def test_only_what_a_clause_counts_is_counted(code: str) -> None:
    # "As soon as possible", "at once", "without delay": the law files give no number, so none is shown as the law's.
    for rule in load_pack(code).rules:
        answer = due(rule.clock, found=date(2026, 5, 3), found_at=None, belief=None, on=LATER, tz=LONDON)
        if rule.clock.kind in (ClockKind.ASAP, ClockKind.NONE):
            assert answer.on is answer.at is None
            assert bool(answer.guide) is bool(answer.counted) is bool(rule.clock.guide_months)
        else:
            assert (answer.on or answer.at) is not None
            assert str(rule.clock.number) in answer.counted
            assert answer.statutory is rule.clock.statutory


def test_which_places_count_days_or_hours_at_all() -> None:
    counting = {
        code
        for code in pack_codes()
        if any(rule.clock.number and rule.clock.statutory for rule in load_pack(code).rules)
    }
    # Law files: Sweden, Norway, Denmark and the Netherlands say "at once" or "as soon as possible", no number.
    assert not counting & {"sweden", "norway", "denmark", "netherlands", "us-florida", "us-washington"}
    assert {"england", "wales", "northern-ireland", "ireland"} <= counting
