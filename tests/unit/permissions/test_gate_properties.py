"""What must hold of the gate whatever the facts: drawn at random, not chosen."""

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from permissions.gate import (
    Answer,
    Capacity,
    ClosedPeriodFacts,
    FieldStateFacts,
    LicenceFacts,
    OverlapFacts,
    PartyFacts,
    PermissionState,
    ProtectedFacts,
    Relation,
    consents_complete,
    gate,
    gravity,
    is_in_force,
    worst,
    year_of,
)
from tests.unit.permissions import strategies as draw

MODERATE = settings(max_examples=60, deadline=None)


def _shut_that_day(site, permission, visit):
    return replace(site, closed_periods=(*site.closed_periods, _closed(visit.on))), permission, visit


def _closed(day):
    return ClosedPeriodFacts("closed:new", "Shoot day", "shooting", day, day)


def _protect(site, permission, visit):
    place = ProtectedFacts("protected:new", "Howe Mound", "scheduled monument", Relation.IN_BUFFER)
    return replace(site, protected=(*site.protected, place)), permission, visit


def _require_licence(site, permission, visit):
    need = LicenceFacts("need:new", "x", "A licence is needed")
    return replace(site, licences=(*site.licences, need)), permission, visit


def _one_more_owner(site, permission, visit):
    owner = PartyFacts("landholder:new", "Fay Holm", Capacity.OWNER, "party:new")
    return replace(site, parties=(*site.parties, owner)), permission, visit


def _one_more_to_tell(site, permission, visit):
    shoot = PartyFacts("landholder:new", "Dan Auburn", Capacity.SPORTING_TENANT, "party:new")
    return replace(site, parties=(*site.parties, shoot)), permission, visit


def _drill(site, permission, visit):
    state = FieldStateFacts("state:new", visit.on, "rape", "drilled", Answer.SHUT)
    return replace(site, field_states=(*site.field_states, state)), permission, visit


def _all_no_go(site, permission, visit):
    return replace(site, no_go_share=1.0), permission, visit


def _forget_the_check(site, permission, visit):
    return replace(site, protected_checked_on=None), permission, visit


def _pause(site, permission, visit):
    return site, replace(permission, state=PermissionState.PAUSED), visit


def _withdraw_all(site, permission, visit):
    gone = tuple(
        replace(c, withdrawn_on=min(visit.on, c.withdrawn_on or visit.on)) for c in permission.consents
    )
    return site, replace(permission, consents=gone), visit


def _lose_the_paper(site, permission, visit):
    return (
        site,
        replace(permission, consents=tuple(replace(c, evidence=False) for c in permission.consents)),
        visit,
    )


def _end_yesterday(site, permission, visit):
    return site, replace(permission, ends=visit.on - timedelta(days=1)), visit


def _lapse_cards(site, permission, visit):
    bare = tuple(replace(p, insurance=(), memberships=()) for p in visit.people)
    return site, permission, replace(visit, people=bare)


def _bring_a_dog(site, permission, visit):
    return site, permission, replace(visit, dogs=True)


RESTRICTIONS = (
    _shut_that_day,
    _protect,
    _require_licence,
    _one_more_owner,
    _one_more_to_tell,
    _drill,
    _all_no_go,
    _forget_the_check,
    _pause,
    _withdraw_all,
    _lose_the_paper,
    _end_yesterday,
    _lapse_cards,
    _bring_a_dog,
)


@MODERATE
@given(draw.questions(), st.sampled_from(RESTRICTIONS))
def test_adding_a_restriction_never_opens_a_gate(asked, restrict):
    site, permission, visit = asked
    before = gate(site, permission, visit)
    after = gate(*restrict(site, permission, visit))
    assert after.answer.severity >= before.answer.severity


@MODERATE
@given(draw.questions(), draw.terms)
def test_stricter_terms_never_open_a_gate_and_bind_at_least_as_an_overlap_does(asked, terms):
    site, permission, visit = asked
    alone = replace(site, overlaps=())
    other = replace(
        permission, key="permission:2", state=PermissionState.GRANTED, terms=terms, starts=None, ends=None
    )
    plain = gate(alone, permission, visit).answer.severity
    overlapping = gate(replace(site, overlaps=(OverlapFacts(other),)), permission, visit).answer.severity
    merged = replace(permission, terms=permission.terms.stricter(terms))
    stricter = gate(alone, merged, visit).answer.severity
    assert plain <= overlapping <= stricter


@MODERATE
@given(draw.questions(), st.data())
def test_removing_a_consent_never_opens_a_gate(asked, data):
    """A withdrawal is no consent but its undoing: only consents that were not withdrawn are taken away."""
    site, permission, visit = asked
    live = [c for c in permission.consents if c.withdrawn_on is None]
    if not live:
        return
    gone = data.draw(st.sampled_from(live))
    fewer = replace(permission, consents=tuple(c for c in permission.consents if c is not gone))
    assert gate(site, fewer, visit).answer.severity >= gate(site, permission, visit).answer.severity


@MODERATE
@given(draw.questions())
def test_the_worst_reason_decides_comes_first_and_is_never_missing(asked):
    site, permission, visit = asked
    decision = gate(site, permission, visit)
    assert decision.answer is worst(r.effect for r in decision.reasons)
    assert decision.is_open or decision.reasons[0].effect is decision.answer
    assert list(decision.reasons) == sorted(decision.reasons, key=gravity)
    assert len(set(decision.reasons)) == len(decision.reasons)


@MODERATE
@given(draw.questions())
def test_on_the_day_a_reason_is_said_to_end_it_is_gone(asked):
    site, permission, visit = asked
    for reason in gate(site, permission, visit).reasons:
        if reason.until is not None:
            assert reason.until > visit.on
            later = gate(site, permission, replace(visit, on=reason.until))
            assert (reason.code, reason.record) not in {(r.code, r.record) for r in later.reasons}


@settings(max_examples=20, deadline=None)
@given(draw.questions(), draw.dates, st.integers(-1, 420))
def test_a_year_agrees_with_the_gate_day_by_day(asked, first, length):
    site, permission, visit = asked
    last = first + timedelta(days=length)
    days = [first + timedelta(days=n) for n in range(length + 1)]
    assert year_of(site, permission, visit, first, last) == tuple(
        gate(site, permission, replace(visit, on=day)) for day in days
    )


@MODERATE
@given(draw.questions())
def test_an_open_gate_is_in_force_with_every_consent(asked):
    site, permission, visit = asked
    if gate(site, permission, visit).is_open:
        assert is_in_force(permission, visit.on)
        assert consents_complete(site, permission, visit.on)


@MODERATE
@given(draw.questions())
def test_without_a_permission_nothing_opens(asked):
    site, _, visit = asked
    assert gate(site, None, visit).answer is Answer.SHUT


@MODERATE
@given(draw.questions())
def test_the_order_in_which_facts_are_listed_does_not_matter(asked):
    site, permission, visit = asked
    turned = replace(site, parties=site.parties[::-1], field_states=site.field_states[::-1])
    other = replace(permission, consents=permission.consents[::-1])
    assert gate(turned, other, visit).answer is gate(site, permission, visit).answer


def test_a_year_at_either_end_of_the_calendar():
    from tests.unit.permissions.make import permission, site, visit

    yearly = replace(_closed(date(2024, 2, 29)), yearly=True, ends=date(2024, 2, 28))
    for first, last in ((date.min, date(1, 3, 5)), (date(9999, 2, 20), date.max)):
        asked = (site(closed_periods=(yearly,)), permission(), visit(first))
        days = year_of(*asked, first, last)
        assert len(days) == (last - first).days + 1
        assert days == tuple(gate(*asked[:2], visit(d.on)) for d in days)
