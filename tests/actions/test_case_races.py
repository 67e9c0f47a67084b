"""Two people at one case at once, under real threads."""

from typing import Any
from uuid import uuid4

import pytest
from django.utils.timezone import localdate, now

from finds.actions import CaseError, answer_no_duty, case_reported, change_find, propose_no_duty
from finds.models import Case, CaseReport, CaseVote
from finds.states import CaseState
from people.models import User
from people.rights import Role
from tests import make, make_cases
from tests.actions.test_hunt_races import together
from web.states import IllegalMoveError

pytestmark = pytest.mark.django_db(transaction=True)
Says = CaseVote.Says


@pytest.fixture
def case() -> Case:
    make.club()
    hunt, finder = make.hunt(state="running", starts_at="00:01", ends_at="23:59"), make.person()
    make.attendance(hunt, finder)
    return make_cases.case(hunt, finder, state=CaseState.REVIEW)


@pytest.fixture
def three() -> list[User]:
    return [
        make.person(Role.COMMITTEE, name=name) for name in ("Cora Boulder", "Hale Withern", "Cid Shingle")
    ]


def propose(case: Case, by: User) -> CaseVote:
    return propose_no_duty(case.pk, by=by, at=now(), words="brass", client_id=uuid4())


def answer(case: Case, by: User, first: CaseVote, *, agrees: bool) -> CaseVote:
    said = {"proposal": first.pk, "agrees": agrees, "words": "looked", "client_id": uuid4()}
    return answer_no_duty(case.pk, by=by, at=now(), **said)


def state(case: Case) -> str:
    return Case.objects.get(pk=case.pk).state


def test_of_two_who_propose_at_once_one_is_told_to_sign_second(case: Case, three: list[User]) -> None:
    ends = together(lambda: propose(case, three[0]), lambda: propose(case, three[1]))
    assert sorted(type(end).__name__ for end in ends) == ["CaseError", "CaseVote"]
    assert (case.votes.count(), state(case)) == (1, CaseState.REVIEW)


@pytest.mark.parametrize("other", [True, False])
def test_of_two_who_answer_at_once_one_counts(other: bool, case: Case, three: list[User]) -> None:
    first = propose(case, three[0])
    ends = together(
        lambda: answer(case, three[1], first, agrees=True),
        lambda: answer(case, three[2], first, agrees=other),
    )
    told = [end for end in ends if isinstance(end, CaseError)]
    assert len(told) == 1
    assert "waits for nobody any more" in str(told[0])
    assert case.votes.exclude(says=Says.PROPOSES).count() == 1
    says = case.votes.exclude(says=Says.PROPOSES).get().says
    assert state(case) == (CaseState.NO_DUTY if says == Says.AGREES else CaseState.REVIEW)


def test_facts_that_change_while_the_second_signs_never_end_a_case_unseen(
    case: Case, three: list[User]
) -> None:
    first, find = propose(case, three[0]), case.finds.get()

    def change() -> Any:
        return change_find(find.pk, by=find.finder, at=now(), materials={"gold": None}, year_from=1580)

    ends = together(change, lambda: answer(case, three[1], first, agrees=True))
    assert not [end for end in ends if isinstance(end, Exception) and not isinstance(end, CaseError)], ends
    # Either the signature came too late and lapsed, or it came first and the new facts opened the case again.
    agreed = case.votes.filter(says=Says.AGREES).exists()
    assert state(case) == CaseState.REVIEW
    assert case.events.filter(verb="opened again").exists() is agreed
    assert case.finds.get().locked


def test_a_report_and_a_second_signature_at_once_never_leave_a_case_that_is_both(
    case: Case, three: list[User]
) -> None:
    first = propose(case, three[0])
    ends = together(
        lambda: answer(case, three[1], first, agrees=True),
        lambda: case_reported(case.pk, by=three[2], at=now(), on=localdate(), reference="", words="by post"),
    )
    assert not [
        end
        for end in ends
        if isinstance(end, Exception) and not isinstance(end, (CaseError, IllegalMoveError))
    ]
    # To report is always possible, also what two thought nothing of a moment before.
    assert (state(case), CaseReport.objects.filter(case=case).count()) == (CaseState.REPORTED, 1)
    assert case.finds.get().locked


def test_two_reports_at_once_are_both_kept(case: Case, three: list[User]) -> None:
    said = {"on": localdate(), "reference": "", "words": "by post"}
    ends = together(*(lambda by=by: case_reported(case.pk, by=by, at=now(), **said) for by in three[:2]))
    assert all(isinstance(end, Case) for end in ends)
    assert (state(case), CaseReport.objects.filter(case=case).count()) == (CaseState.REPORTED, 2)
