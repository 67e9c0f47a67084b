"""What the gate's answer carries besides its codes: names, ends, who is barred, and the helpers around it."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest

from permissions.gate import (
    PERSONAL,
    Answer,
    Capacity,
    ClosedPeriodFacts,
    Cover,
    LicenceFacts,
    NoticeFacts,
    OverlapFacts,
    PartyFacts,
    Period,
    PermissionState,
    Policy,
    ReasonCode,
    Span,
    Tenure,
    Terms,
    consent_in_force,
    consents_complete,
    gate,
    is_in_force,
    permission_in_force,
    required_parties,
    summarise,
    worst,
    year_of,
)
from tests.unit.permissions.make import (
    AGENT,
    COVER,
    DAY,
    OCCUPIER,
    OWNER,
    YEAR,
    consent,
    permission,
    person,
    site,
    visit,
)

FIRST, LAST = date(2026, 3, 1), date(2026, 9, 30)
AROUND = [(FIRST - timedelta(1), False), (FIRST, True), (LAST, True), (LAST + timedelta(1), False)]


def reasons(**facts):
    asked = {"site": site(), "permission": permission(), "visit": visit(), **facts}
    return gate(asked["site"], asked["permission"], asked["visit"]).reasons


def only(**facts):
    (reason,) = reasons(**facts)
    return reason


@pytest.mark.parametrize(("day", "expected"), AROUND)
def test_in_force_between_its_days_both_included(day, expected):
    given = consent(given_on=date(2026, 1, 1), starts=FIRST, ends=LAST)
    asked = permission(starts=FIRST, ends=LAST, consents=(consent(ends=None),))
    assert consent_in_force(given, day) is expected
    assert permission_in_force(asked, day) is expected
    assert is_in_force(asked, day) is expected
    assert is_in_force(permission(starts=None, ends=None, consents=(given,)), day) is expected


@pytest.mark.parametrize("state", [s for s in PermissionState if s is not PermissionState.GRANTED])
def test_only_a_granted_permission_is_in_force(state):
    assert not is_in_force(permission(state=state), DAY)


def test_a_consent_counts_from_the_day_it_is_given_to_the_day_before_it_is_withdrawn():
    given = consent(given_on=FIRST, withdrawn_on=LAST)
    days = (FIRST - timedelta(1), FIRST, LAST - timedelta(1), LAST)
    assert [consent_in_force(given, d) for d in days] == [False, True, True, False]
    assert not consent_in_force(consent(given_on=None), DAY)


def test_nobody_on_record_is_not_a_complete_set_of_consents():
    assert not consents_complete(site(parties=()), permission(), DAY)
    assert not consents_complete(site(parties=(OWNER, OCCUPIER), tenure=Tenure.LET), permission(), DAY)
    assert consents_complete(site(), permission(), DAY)


def test_let_land_needs_both_and_owner_occupied_land_the_owner():
    both = (OWNER, OCCUPIER, AGENT)
    assert required_parties(site(parties=both), DAY) == (OWNER,)
    assert required_parties(site(parties=both, tenure=Tenure.LET), DAY) == (OWNER, OCCUPIER)
    assert required_parties(site(parties=both, tenure=Tenure.UNKNOWN), DAY) == (OWNER, OCCUPIER)


def test_both_permissions_are_named_where_the_stricter_decides():
    other = replace(permission(terms=Terms(max_heads=3)), key="permission:2", name="the Far Carr permission")
    asked = site(overlaps=(OverlapFacts(other, "Far Carr", 4_000.0),))
    first, note = reasons(site=asked, visit=visit(heads=5))
    assert first.record == note.record == "permission:2"
    assert note.effect is Answer.OPEN
    for reason in (first, note):
        assert "the Holm Farm permission" in reason.words
        assert "he Far Carr permission" in reason.words
    assert "by way of Far Carr (0.40 ha)" in note.words
    assert "number of people" in note.words


@pytest.mark.parametrize("area", [None, 0.0, float("nan"), float("inf")])
def test_a_shared_area_that_is_not_known_is_not_shown(area):
    other = replace(permission(state=PermissionState.PAUSED), key="permission:2")
    assert "ha)" not in only(site=site(overlaps=(OverlapFacts(other, "", area),))).words


def test_the_permission_does_not_overlap_itself():
    paused = replace(permission(), state=PermissionState.PAUSED)
    assert gate(site(overlaps=(OverlapFacts(paused),)), permission(), visit()).is_open


def test_who_is_barred_is_told_apart_from_what_bars_everybody():
    people = (
        person(1),
        person(2, insurance=()),
        person(3, memberships=()),
        person(4, insurance=(), memberships=()),
    )
    decision = gate(site(), permission(terms=Terms(weekdays=frozenset({1}))), visit(people=people))
    barred = {reason.record for reason in decision.bars if reason.code in PERSONAL}
    assert barred == {"person:2", "person:3", "person:4"}
    words = " ".join(r.words for r in decision.bars if r.record == "person:2")
    assert words == "Member 2 has no insurance on record."


def test_a_card_that_starts_later_says_when():
    late = Cover(date(2026, 9, 10), date(2027, 9, 9), "insurance:2", Decimal(1))
    old = Cover(date(2025, 4, 1), date(2026, 3, 31))
    reason = only(visit=visit(people=(person(insurance=(late, old)),)))
    assert (
        reason.words
        == "The insurance of Member 1 ended on 31 March 2026; the next starts on 10 September 2026."
    )
    assert reason.until == date(2026, 9, 10)


def test_the_best_cover_held_is_the_one_compared():
    small = replace(COVER, amount=Decimal(1_000_000))
    asked = permission(terms=Terms(insurance_floor=Decimal(10_000_000)))
    assert not reasons(permission=asked, visit=visit(people=(person(insurance=(small, COVER)),)))
    middling = replace(COVER, amount=Decimal(5_000_000))
    reason = only(permission=asked, visit=visit(people=(person(insurance=(small, middling)),)))
    assert reason.words == "The terms ask for cover of £10,000,000; Member 1 is covered to £5,000,000."


def test_a_withdrawal_for_another_field_does_not_touch_this_one():
    elsewhere = consent(
        2, given_on=date(2026, 3, 1), withdrawn_on=date(2026, 8, 1), sites=frozenset({"site:9"})
    )
    assert not reasons(permission=permission(consents=(consent(), elsewhere)))
    here = replace(elsewhere, sites=frozenset({"site:1"}))
    reason = only(permission=permission(consents=(consent(), here)))
    assert (reason.code, reason.record) == ("consent_withdrawn", "consent:2")


def test_the_withdrawal_of_one_landholder_does_not_touch_another():
    gone = consent(2, OCCUPIER, withdrawn_on=date(2026, 8, 1))
    assert not reasons(permission=permission(consents=(consent(), gone)))


@pytest.mark.parametrize(
    "agent",
    [
        replace(AGENT, until=date(2026, 7, 1)),
        replace(AGENT, since=date(2026, 9, 1)),
        replace(AGENT, acts_for="landholder:9"),
        replace(AGENT, capacity=Capacity.INFORMED_ONLY),
    ],
)
def test_an_agent_counts_only_while_acting_for_the_landholder(agent):
    asked = permission(consents=(consent(3, AGENT),))
    assert "consent_missing" in {r.code for r in reasons(site=site(parties=(OWNER, agent)), permission=asked)}


def test_the_occupier_still_to_come_says_from_when():
    later = replace(OCCUPIER, since=date(2026, 9, 29))
    gone = PartyFacts("landholder:7", "Old Tenant", Capacity.OCCUPIER, "party:7", until=date(2026, 8, 1))
    assert only(site=site(tenure=Tenure.LET, parties=(OWNER, later, gone))).until == date(2026, 9, 29)


def test_a_licence_still_to_start_says_from_when():
    need = LicenceFacts("need:1", "x", "A licence is needed.", (Period(date(2026, 9, 5), None, "licence:1"),))
    reason = only(site=site(licences=(need,)))
    assert reason.words == "A licence is needed; the one on record starts on 5 September 2026."
    assert reason.until == date(2026, 9, 5)


def test_short_notice_says_from_which_day_it_would_do():
    told = NoticeFacts("landholder:1", datetime(2026, 8, 29, 9))
    asked = permission(terms=Terms(notice_hours=48))
    reason = only(permission=asked, visit=visit(notices=(told,)))
    assert reason.until == date(2026, 9, 1)  # where no start is given, the day's first moment counts
    assert "by 00:00 on 28 August 2026" in reason.words
    assert "notice came at 09:00 on 29 August 2026" in reason.words


def test_the_end_of_an_answer_is_the_last_end_of_its_worst_reasons():
    seasons = tuple(
        ClosedPeriodFacts(f"closed:{n}", "Shoot", "shoot", DAY, DAY + timedelta(n), effect=effect)
        for n, effect in ((1, Answer.SHUT), (3, Answer.SHUT), (9, Answer.ASK))
    )
    decision = gate(site(closed_periods=seasons), permission(), visit())
    assert decision.until == DAY + timedelta(4)
    endless = gate(site(closed_periods=seasons), permission(state=PermissionState.PAUSED), visit())
    assert endless.until is None
    assert gate(site(), permission(), visit()).until is None


def test_a_club_may_set_its_own_policy():
    lax = Policy(
        field_state_days=5, protected_check_days=10, membership_required=False, insurance_required=False
    )
    decision = gate(site(), permission(), visit(people=(person(insurance=(), memberships=()),)), lax)
    assert [r.code for r in decision.reasons] == [ReasonCode.FIELD_STATE_OLD, ReasonCode.PROTECTED_CHECK_OLD]


def test_worst_of_nothing_is_open():
    assert worst([]) is Answer.OPEN
    assert worst([Answer.OPEN, Answer.SHUT, Answer.ASK]) is Answer.SHUT


def test_a_summary_counts_days_and_draws_spans():
    shoot = ClosedPeriodFacts("closed:1", "Shoot", "shoot", date(2026, 8, 24), date(2026, 8, 26))
    asked = permission(terms=Terms(weekdays=frozenset(range(6))))
    days = year_of(site(closed_periods=(shoot,)), asked, visit(), date(2026, 8, 24), date(2026, 8, 31))
    summary = summarise(reversed(days))
    assert (summary.open, summary.ask, summary.shut) == (4, 0, 4)
    assert summary.first_open == date(2026, 8, 27)
    assert summary.spans == (
        Span(date(2026, 8, 24), date(2026, 8, 26), Answer.SHUT),
        Span(date(2026, 8, 27), date(2026, 8, 29), Answer.OPEN),
        Span(DAY, DAY, Answer.SHUT),
        Span(date(2026, 8, 31), date(2026, 8, 31), Answer.OPEN),
    )
    assert summary.codes == ((ReasonCode.CLOSED_PERIOD, 3), (ReasonCode.WEEKDAY, 1))


def test_a_gap_between_days_ends_a_span():
    days = [gate(site(), permission(), visit(d)) for d in (DAY, DAY + timedelta(2))]
    assert [s.first for s in summarise(days).spans] == [DAY, DAY + timedelta(2)]
    assert summarise([]).spans == ()


def test_membership_and_insurance_are_judged_on_the_day_of_the_visit():
    """The membership year (January) differs from the insurance year (April): facts/trade.md 2.1."""
    people = (person(1, memberships=(YEAR,), insurance=(COVER,)),)
    for day, codes in (
        (date(2026, 3, 31), {"insurance"}),
        (date(2026, 4, 1), set()),
        (date(2026, 12, 31), set()),
        (date(2027, 1, 1), {"membership"}),
    ):
        found = {r.code for r in reasons(visit=visit(day, people=people))}
        assert found & {"membership", "insurance"} == codes


def test_a_reason_about_a_party_names_its_record_or_else_the_landholder():
    asked = permission(terms=Terms(notice_hours=48))
    assert only(permission=asked).record == "party:1"
    assert only(permission=asked, site=site(parties=(replace(OWNER, key=""),))).record == "landholder:1"
