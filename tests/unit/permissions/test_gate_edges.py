"""The day on each side of every edge, and the calendar against the gate where chance seldom looks."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from permissions.gate import (
    Answer,
    ClosedPeriodFacts,
    LicenceFacts,
    OverlapFacts,
    Period,
    Terms,
    gate,
    is_in_force,
    year_of,
)
from tests.unit.permissions.make import DAY, OWNER, STUBBLE, consent, permission, site, visit

BEFORE, AFTER = DAY - timedelta(1), DAY + timedelta(1)
FIRST, LAST = date(2026, 8, 1), date(2026, 9, 30)


def codes(*, on=DAY, **facts):
    asked = {"site": site(), "permission": permission(), **facts}
    return [r.code for r in gate(asked["site"], asked["permission"], visit(on)).reasons]


def test_a_permission_or_consent_of_one_day_opens_that_day():
    one_day = permission(starts=DAY, ends=DAY, consents=(consent(given_on=DAY, starts=DAY, ends=DAY),))
    assert codes(permission=one_day) == []
    assert codes(permission=one_day, on=BEFORE) == ["permission_not_started", "consent_not_started"]
    assert codes(permission=one_day, on=AFTER) == ["permission_expired", "consent_ended"]


def test_a_party_counts_on_its_first_and_last_day():
    owner = replace(OWNER, since=DAY, until=DAY)
    assert codes(site=site(parties=(owner,))) == []
    for day in (BEFORE, AFTER):
        assert codes(site=site(parties=(owner,)), on=day) == ["owner_unknown"]


def test_a_withdrawal_counts_from_its_day_against_an_earlier_consent_too():
    gone = consent(2, given_on=date(2026, 3, 1), withdrawn_on=DAY)
    both = permission(consents=(consent(), gone))
    assert codes(permission=both, on=BEFORE) == []
    assert codes(permission=both) == ["consent_withdrawn"]


def test_one_of_several_consents_is_enough_to_be_in_force():
    assert is_in_force(permission(consents=(consent(given_on=None), consent(2))), DAY)


def test_the_distance_itself_is_not_too_far():
    assert codes(site=site(distance_from_club_km=300.0)) == []
    assert codes(site=site(distance_from_club_km=300.1)) == ["far_from_club"]


def test_the_next_of_several_licences_is_the_first_to_start():
    starts = (date(2026, 12, 1), date(2026, 10, 1), date(2026, 11, 1))
    need = LicenceFacts("need:1", "x", "A licence is needed", tuple(Period(s, None) for s in starts))
    (reason,) = gate(site(licences=(need,)), permission(), visit()).reasons
    assert reason.until == date(2026, 10, 1)


def test_the_field_state_of_the_day_itself_decides_and_does_not_end_that_day():
    shut = replace(STUBBLE, key="state:2", on=DAY, effect=Answer.SHUT)
    later = replace(STUBBLE, key="state:3", on=date(2026, 9, 20))
    (reason,) = gate(site(field_states=(STUBBLE, shut, later)), permission(), visit()).reasons
    assert (reason.record, reason.until) == ("state:2", date(2026, 9, 20))


def test_an_owner_who_comes_and_goes_ends_on_the_day_the_next_one_comes():
    owners = (replace(OWNER, until=BEFORE), replace(OWNER, key="party:9", since=date(2026, 10, 1)))
    (reason,) = gate(site(parties=owners), permission(), visit()).reasons
    assert reason.until == date(2026, 10, 1)


SHOOT = ClosedPeriodFacts("closed:1", "Shoot", "shoot", date(2026, 9, 12), date(2026, 9, 10))
OTHER = replace(permission(terms=Terms(weekdays=frozenset({5}))), key="permission:2", ends=date(2026, 9, 15))


@pytest.mark.parametrize("planned", [True, False])
@pytest.mark.parametrize(
    "weekdays", [None, frozenset(), frozenset({6}), frozenset({0, 5, 6}), frozenset({2, 9})]
)
@pytest.mark.parametrize("ground", [{}, {"closed_periods": (SHOOT,)}, {"overlaps": (OverlapFacts(OTHER),)}])
def test_the_calendar_agrees_with_the_gate_on_every_weekday(planned, weekdays, ground):
    asked = site(**ground), permission(terms=Terms(weekdays=weekdays, notice_hours=24))
    days = year_of(*asked, visit(planned=planned), FIRST, LAST)
    assert days == tuple(
        gate(*asked, visit(FIRST + timedelta(n), planned=planned)) for n in range((LAST - FIRST).days + 1)
    )
    assert {d.on.weekday() for d in days if "weekday" not in {r.code for r in d.reasons}} <= (
        set(range(7)) if weekdays is None else weekdays
    )
