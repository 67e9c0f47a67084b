"""Recording, changing and withdrawing finds: rights, dates, numbers, screening and what is never doubled."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import now

from finds.actions import (
    FindDateError,
    NotTheHolderError,
    answer_facts,
    case_reported,
    change_find,
    decide_case,
    hand_over,
    make_group,
    move_case,
    record_find,
    withdraw_find,
)
from finds.circumstances import answers_from
from finds.models import Case, Find, FindNumber
from finds.states import CaseState
from people.models import AuditEntry, User
from tests import make, make_cases
from web.states import IllegalMoveError

pytestmark = pytest.mark.django_db


@pytest.fixture
def hunt(member: User, leader: User):
    hunt = make.hunt(leader=leader, state="running", starts_at="00:01", ends_at="23:59")
    make.attendance(hunt, member)
    return hunt


def record(hunt, by: User, *, materials=None, **fields) -> Find:
    values = {
        "client_id": uuid4(),
        "finder": by,
        "site": hunt.sites.all()[0],
        "found_at": now(),
        "object_type": "button",
    } | fields
    return record_find(hunt.pk, by=by, at=now(), materials=materials or {}, **values)


def hammered(hunt, by: User, **fields) -> Find:
    """A silver penny struck between 1205 and 1247."""
    values = {"object_type": "penny", "is_coin": "yes", "year_from": 1205, "year_to": 1247} | fields
    return record(hunt, by, materials={"silver": Decimal(92)}, **values)


def test_a_member_records_a_find_with_a_number_and_a_first_holder(hunt, member: User) -> None:
    find = record(hunt, member)
    assert find.number == f"F{find.number_row.year}-0001"
    assert [entry.to_name for entry in find.custody.all()] == [member.name]
    assert AuditEntry.objects.filter(verb="find.record", by=member).count() == 1


def test_numbers_follow_each_other(hunt, member: User) -> None:
    serials = [record(hunt, member).number_row.serial for _ in range(3)]
    assert serials == [1, 2, 3]


def test_the_same_form_twice_makes_one_find(hunt, member: User) -> None:
    key = uuid4()
    first, second = record(hunt, member, client_id=key), record(hunt, member, client_id=key)
    assert first.pk == second.pk
    assert FindNumber.objects.count() == 1


def test_somebody_elses_form_key_does_not_open_their_find(hunt, member: User, leader: User) -> None:
    key = uuid4()
    record(hunt, member, client_id=key)
    with pytest.raises(PermissionDenied):
        record(hunt, leader, client_id=key)


def test_a_member_who_is_not_on_the_hunt_records_nothing(hunt) -> None:
    with pytest.raises(PermissionDenied, match="not signed up"):
        record(hunt, make.person(name="Ned Spit"))


def test_a_find_of_tomorrow_is_refused_with_its_date(hunt, member: User) -> None:
    with pytest.raises(FindDateError, match="has not come yet"):
        record(hunt, member, found_at=now() + timedelta(days=1))


def test_a_find_of_another_day_names_both_days(hunt, member: User) -> None:
    with pytest.raises(FindDateError, match="is not the day of"):
        record(hunt, member, found_at=now() - timedelta(days=2))


def test_a_single_medieval_penny_opens_no_case(hunt, member: User) -> None:
    # Treasure Act 1996 s.1(1)(a)(ii) needs two coins of the same find; one alone is at most a matter of judgement.
    find = hammered(hunt, member, facts=answers_from(["none"]))
    find.refresh_from_db()
    assert not find.locked
    assert find.screenings.get().outcome == "possible_duty"


def test_a_silver_ring_of_1600_opens_a_case_due_in_14_days(hunt, member: User) -> None:
    # Treasure Act 1996 ss.1(1)(a)(i) and 8(2): fourteen days beginning with the day after the find.
    find = record(
        hunt,
        member,
        object_type="ring",
        is_coin="no",
        year_from=1600,
        year_to=1650,
        materials={"silver": Decimal(92)},
    )
    case = find.cases.get()
    assert case.state == CaseState.FLAGGED
    assert case.due_on == make.days(14)
    find.refresh_from_db()
    assert find.locked


def test_a_locked_find_locks_its_hole(hunt, member: User) -> None:
    hole = make.hole(hunt, member)
    record(
        hunt, member, hole=hole, is_coin="no", year_from=1600, year_to=1650, materials={"gold": Decimal(75)}
    )
    hole.refresh_from_db()
    assert hole.locked


def test_two_pennies_grouped_open_one_case(hunt, member: User, committee: User) -> None:
    alone = {"facts": answers_from(["none"])}
    first, second = hammered(hunt, member, **alone), hammered(hunt, member, **alone)
    assert Case.objects.count() == 0
    make_group(
        [first.number, second.number],
        by=committee,
        at=now(),
        reasons="in one spit, touching",
        client_id=uuid4(),
    )
    assert [set(case.finds.all()) for case in Case.objects.all()] == [{first, second}]


def test_an_answer_can_bring_a_duty(hunt, member: User) -> None:
    find = record(hunt, member, object_type="mount", is_coin="no", year_from=1500, year_to=1550)
    answer_facts(find.pk, by=member, at=now(), answers={"silver": "yes", "worked": "yes"})
    assert find.cases.count() == 1


def test_a_change_is_screened_again_and_keeps_the_clock(hunt, member: User) -> None:
    find = record(hunt, member, is_coin="no", year_from=1600, year_to=1650, materials={"gold": None})
    due = find.cases.get().due_on
    change_find(find.pk, by=member, at=now(), materials={"gold": Decimal(80)}, weight_g=Decimal("3.2"))
    assert find.screenings.count() == 2
    assert find.cases.get().due_on == due


def test_a_withdrawn_number_stays_used_and_says_why(hunt, member: User) -> None:
    find = record(hunt, member)
    withdraw_find(find.pk, by=member, at=now(), why="typed twice")
    assert record(hunt, member).number_row.serial == 2
    assert [row.void_why for row in FindNumber.objects.gaps()] == ["typed twice"]


def test_a_find_under_a_case_cannot_be_withdrawn(hunt, member: User) -> None:
    find = record(hunt, member, is_coin="no", year_from=1600, year_to=1650, materials={"gold": None})
    with pytest.raises(PermissionDenied, match="committee has to end the case"):
        withdraw_find(find.pk, by=member, at=now(), why="second thoughts")


@pytest.fixture
def case(hunt, member: User) -> Case:
    return record(
        hunt, member, is_coin="no", year_from=1600, year_to=1650, materials={"gold": None}
    ).cases.get()


def test_only_the_committee_moves_a_case(case: Case, member: User, committee: User) -> None:
    with pytest.raises(PermissionDenied):
        move_case(case.pk, CaseState.REVIEW, by=member, at=now(), words="x")
    move_case(case.pk, CaseState.REVIEW, by=committee, at=now(), words="looking at it")
    case.refresh_from_db()
    assert case.state == CaseState.REVIEW
    assert case.events.filter(to_state=CaseState.REVIEW, words="looking at it").exists()


def test_the_finder_can_always_report_directly(case: Case, member: User) -> None:
    case_reported(case.pk, by=member, at=now(), on=make.days(0), reference="2026 T1", words="by telephone")
    case.refresh_from_db()
    assert (case.state, case.report_reference) == (CaseState.REPORTED, "2026 T1")


def test_a_case_that_nobody_reported_cannot_be_decided(case: Case, committee: User) -> None:
    with pytest.raises(IllegalMoveError, match="is flagged now"):
        decide_case(case.pk, by=committee, at=now(), decision="returned", words="x")
    case.refresh_from_db()
    assert case.decision == ""


def test_no_duty_unlocks_the_findspot(case: Case, committee: User) -> None:
    ended(case, committee)
    assert not case.finds.get().locked


def test_a_hand_over_from_an_old_page_is_refused_and_names_the_holder(
    hunt, member: User, secretary: User
) -> None:
    find = record(hunt, member)
    move = {"by": secretary, "at": now(), "to_holder": "officer", "purpose": "recording"}
    hand_over(find.pk, after_step=1, to_name="Ida Drift", **move)
    with pytest.raises(NotTheHolderError, match="Ida Drift"):
        hand_over(find.pk, after_step=1, to_name="Museum", **move)
    assert [entry.step for entry in find.custody.all()] == [1, 2]


def ended(case: Case, committee: User) -> Case:
    move_case(case.pk, CaseState.REVIEW, by=committee, at=now(), words="x")
    return make_cases.no_duty(case, committee, "bulk assay shows brass")


def test_a_case_that_ended_stays_ended_while_nothing_new_is_known(
    case: Case, member: User, committee: User
) -> None:
    find = case.finds.get()
    ended(case, committee)
    change_find(find.pk, by=member, at=now(), materials={"gold": None}, description="cleaned with water")
    find.refresh_from_db()
    case.refresh_from_db()
    assert (find.locked, case.state) == (False, CaseState.NO_DUTY)


def test_new_facts_open_an_ended_case_again_and_lock_its_findspot(
    case: Case, member: User, committee: User
) -> None:
    find = case.finds.get()
    ended(case, committee)
    change_find(find.pk, by=member, at=now(), materials={"gold": Decimal(90)}, year_from=1580)
    find.refresh_from_db()
    case.refresh_from_db()
    assert (find.locked, case.state) == (True, CaseState.REVIEW)
    assert case.events.filter(verb="opened again").exists()


def test_a_hole_stays_locked_while_another_find_from_it_is_under_a_case(
    hunt, member: User, committee: User
) -> None:
    hole = make.hole(hunt, member)
    ring = {"hole": hole, "is_coin": "no", "year_from": 1600, "year_to": 1650, "materials": {"gold": None}}
    first, second = record(hunt, member, **ring), record(hunt, member, **ring)
    ended(first.cases.get(), committee)
    hole.refresh_from_db()
    assert hole.locked
    ended(second.cases.get(), committee)
    hole.refresh_from_db()
    assert not hole.locked


def test_a_case_taken_up_again_locks_findspot_and_hole(hunt, member: User, committee: User) -> None:
    hole = make.hole(hunt, member)
    find = record(
        hunt, member, hole=hole, is_coin="no", year_from=1600, year_to=1650, materials={"gold": None}
    )
    case = ended(find.cases.get(), committee)
    move_case(case.pk, CaseState.REVIEW, by=committee, at=now(), words="the assay was of another ring")
    hole.refresh_from_db()
    find.refresh_from_db()
    assert (find.locked, hole.locked) == (True, True)


def test_gold_that_is_listed_is_gold_whatever_an_older_answer_said(hunt, member: User) -> None:
    find = record(
        hunt,
        member,
        is_coin="no",
        year_from=1600,
        year_to=1650,
        materials={"gold": None},
        facts={"gold": "no", "silver": "no"},
    )
    find.refresh_from_db()
    assert find.locked


def test_on_farmland_the_shore_and_the_church_are_not_asked_about(hunt, member: User) -> None:
    site = hunt.sites.all()[0]
    open_before = record(hunt, member, object_type="mount").screenings.get()
    type(site).objects.filter(pk=site.pk).update(tidal="no", church_land="no")
    hunt.sites.all()[0].refresh_from_db()
    settled = record(hunt, member, object_type="mount").screenings.get()
    asked = [{unknown["fact"] for unknown in row.result["unknowns"]} for row in (open_before, settled)]
    assert "tidal" in settled.facts
    assert not asked[1] & {"tidal", "wreck", "church_land"}
    assert asked[0] & {"tidal", "wreck", "church_land"}


def test_not_a_coin_alone_asks_its_questions_before_it_opens_a_case(hunt, member: User) -> None:
    find = record(hunt, member, is_coin="no")
    assert find.cases.count() == 0
    assert find.screenings.get().weight == "test"


def test_gold_without_a_date_opens_a_case(hunt, member: User) -> None:
    # Treasure Act 1996 s.3(6): an object is presumed old enough unless shown not to be.
    assert record(hunt, member, object_type="ring", is_coin="no", materials={"gold": None}).cases.count() == 1
