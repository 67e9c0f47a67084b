"""The gate raises on no well-typed input: every field of every fact drawn from its whole type."""

import sys
from dataclasses import fields, is_dataclass, replace
from datetime import UTC, date, datetime, time, timedelta, timezone
from decimal import Decimal
from functools import cache
from typing import get_type_hints

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from permissions.gate import (
    Answer,
    Decision,
    PermissionFacts,
    Policy,
    SiteFacts,
    VisitFacts,
    gate,
    summarise,
    year_of,
)
from permissions.terms import Terms, clauses, contradictions
from tests.unit.permissions.make import DAY, permission, person, site, visit

ZONES = st.none() | st.sampled_from([UTC, timezone(timedelta(hours=-11))])
PLAIN = {
    str: st.sampled_from(["", "landholder:1", "site:1"]),
    int: st.integers(-(10**12), 10**12),
    float: st.floats(),
    Decimal: st.decimals(),
    time: st.times(timezones=ZONES),
    datetime: st.datetimes(timezones=ZONES),
}


@cache
def anything(cls):
    """A strategy for `cls` with every field drawn, defaults or not."""
    hints = get_type_hints(cls, vars(sys.modules[cls.__module__]))
    return st.builds(cls, **{f.name: _of(hints[f.name]) for f in fields(cls)})


def _of(hint):
    options = getattr(hint, "__args__", ())
    if getattr(hint, "__origin__", None) is tuple:
        return st.lists(_of(options[0]), max_size=2).map(tuple)
    if getattr(hint, "__origin__", None) is frozenset:
        return st.frozensets(_of(options[0]), max_size=3)
    if options:
        return st.one_of(*(_of(option) for option in options))
    if is_dataclass(hint):
        return st.deferred(lambda: anything(hint))
    return PLAIN[hint] if hint in PLAIN else st.from_type(hint)


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
@given(anything(SiteFacts), st.none() | anything(PermissionFacts), anything(VisitFacts), anything(Policy))
def test_the_gate_never_raises(site, permission, visit, policy):
    decision = gate(site, permission, visit, policy)
    assert isinstance(decision, Decision)
    assert decision.is_open or decision.bars
    last = date.fromordinal(min(visit.on.toordinal() + 20, date.max.toordinal()))
    summary = summarise(year_of(site, permission, visit, visit.on, last, policy))
    assert summary.open + summary.ask + summary.shut == (last - visit.on).days + 1


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(anything(Terms), anything(Terms))
def test_terms_of_any_kind_read_and_compare(one, other):
    assert all(clause.words.endswith(".") for clause in clauses(one))
    one.stricter(other)
    contradictions(one, other)


@pytest.mark.parametrize("day", [date.min, date.max, date(2024, 2, 29)])
def test_the_ends_of_the_calendar(day):
    asked = permission(terms=Terms(weekdays=frozenset(), notice_hours=10**9))
    assert gate(site(), asked, visit(day, people=(person(),))).answer is Answer.SHUT


def test_no_number_is_not_near():
    assert gate(site(distance_from_club_km=float("nan")), permission(), visit()).answer is Answer.ASK
    assert gate(site(no_go_share=float("nan")), permission(), visit()).answer is Answer.SHUT


def test_offsets_do_not_break_a_comparison():
    terms = Terms(hours_from=time(9), notice_hours=24)
    aware = visit(starts_at=time(9, tzinfo=UTC), decided_at=datetime(2026, 8, 1, tzinfo=UTC))
    codes = [r.code for r in gate(site(), permission(terms=terms), replace(aware, on=DAY)).reasons]
    assert codes == ["hours_unknown", "notice_due"]
