"""“No duty” takes two different people of the committee who looked at the same facts; to report takes one."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import localdate, now

from finds.actions import (
    CaseError,
    answer_facts,
    answer_no_duty,
    case_reported,
    change_find,
    make_group,
    move_case,
    propose_no_duty,
    take_back_no_duty,
)
from finds.models import Case, CaseVote
from finds.states import CaseState
from people.models import AuditEntry, Membership, RoleHeld, User
from people.rights import Role
from tests import make, make_cases
from web.append_only import AppendOnlyError
from web.states import IllegalMoveError

pytestmark = pytest.mark.django_db
Says = CaseVote.Says


@pytest.fixture
def hunt(member: User, leader: User) -> Any:
    hunt = make.hunt(leader=leader, state="running", starts_at="00:01", ends_at="23:59")
    make.attendance(hunt, member)
    return hunt


@pytest.fixture
def second(db: None) -> User:
    return make.person(Role.COMMITTEE, name="Hale Withern")


@pytest.fixture
def case(hunt: Any, member: User) -> Case:
    return make_cases.case(hunt, member, state=CaseState.REVIEW)


def propose(case: Case, by: User, words: str = "an assay shows brass", **fields: Any) -> CaseVote:
    return propose_no_duty(case.pk, by=by, at=now(), words=words, **({"client_id": uuid4()} | fields))


def answer(
    case: Case, by: User, first: CaseVote, *, agrees: bool = True, words: str = "", **fields: Any
) -> CaseVote:
    said = {"proposal": first.pk, "agrees": agrees, "words": words, "client_id": uuid4()}
    return answer_no_duty(case.pk, by=by, at=now(), **(said | fields))


def state(case: Case) -> str:
    case.refresh_from_db()
    return case.state


def test_nobody_ends_a_case_alone(case: Case, committee: User) -> None:
    with pytest.raises(CaseError, match="needs two of the committee"):
        move_case(case.pk, CaseState.NO_DUTY, by=committee, at=now(), words="brass")
    propose(case, committee)
    assert state(case) == CaseState.REVIEW
    assert case.finds.get().locked


def test_two_who_agree_end_it_and_both_reasons_stay(case: Case, committee: User, second: User) -> None:
    first = propose(case, committee)
    answer(case, second, first, words="weighed it too")
    assert state(case) == CaseState.NO_DUTY
    assert not case.finds.get().locked
    last = case.events.latest("pk")
    assert (last.to_state, last.by) == (CaseState.NO_DUTY, second)
    assert last.words == "Cora Boulder: an assay shows brass\nHale Withern: weighed it too"
    assert list(case.votes.values_list("says", "by")) == [("proposes", committee.pk), ("agrees", second.pk)]
    verbs = AuditEntry.objects.filter(verb__startswith="case.no_duty_").order_by("pk")
    assert list(verbs.values_list("verb", flat=True)) == ["case.no_duty_proposes", "case.no_duty_agrees"]


def test_the_same_person_cannot_be_both(case: Case, committee: User) -> None:
    first = propose(case, committee)
    with pytest.raises(CaseError, match="somebody else of the committee has to sign second"):
        answer(case, committee, first)
    assert state(case) == CaseState.REVIEW


@pytest.mark.parametrize("who", ["member", "leader", "secretary"])
def test_only_the_committee_signs(
    who: str, case: Case, committee: User, request: pytest.FixtureRequest
) -> None:
    other: User = request.getfixturevalue(who)
    with pytest.raises(PermissionDenied):
        propose(case, other)
    first = propose(case, committee)
    with pytest.raises(PermissionDenied):
        answer(case, other, first)
    with pytest.raises(PermissionDenied):
        take_back_no_duty(case.pk, by=other, at=now(), proposal=first.pk, words="x", client_id=uuid4())
    assert case.votes.count() == 1


@pytest.mark.parametrize(("whose", "said"), [("finder", "You found it"), ("leader", "You led the hunt")])
def test_nobody_signs_about_their_own_find(
    whose: str, said: str, member: User, leader: User, committee: User, second: User
) -> None:
    finder, leads = (committee, leader) if whose == "finder" else (member, committee)
    hunt = make.hunt(leader=leads, state="running", starts_at="00:01", ends_at="23:59")
    case = make_cases.case(hunt, finder, state=CaseState.REVIEW)
    with pytest.raises(CaseError, match=said):
        propose(case, committee)
    first = propose(case, second)
    with pytest.raises(CaseError, match=said):
        answer(case, committee, first)
    assert state(case) == CaseState.REVIEW
    answer(case, make.person(Role.COMMITTEE), first)
    assert state(case) == CaseState.NO_DUTY


def test_who_found_any_one_of_a_group_is_out(hunt: Any, committee: User, member: User, second: User) -> None:
    one, two = make_cases.ring(hunt, member), make_cases.ring(hunt, committee)
    group = make_group([one.number, two.number], by=second, at=now(), reasons="one clod", client_id=uuid4())
    case = Case.objects.filter(finds__group=group).distinct().order_by("pk")[0]
    move_case(case.pk, CaseState.REVIEW, by=second, at=now(), words="looking")
    with pytest.raises(CaseError, match="You found it"):
        propose(case, committee)


def test_new_facts_after_the_first_signature_lapse_it(
    case: Case, member: User, committee: User, second: User
) -> None:
    first = propose(case, committee)
    change_find(case.finds.get().pk, by=member, at=now(), materials={"gold": None}, year_from=1580)
    lapsed = case.votes.get(says=Says.LAPSED)
    assert (lapsed.proposal, lapsed.by) == (first, None)
    assert "changed after it was signed" in lapsed.words
    assert "Cora Boulder's “no duty” counts no more" in case.events.get(verb="signature lapsed").words
    with pytest.raises(CaseError, match="waits for nobody any more: the first signature lapsed"):
        answer(case, second, first)
    assert state(case) == CaseState.REVIEW


@pytest.mark.parametrize("changed", ["description", "answers", "leader"])
def test_every_kind_of_fact_lapses_it(
    changed: str, case: Case, hunt: Any, member: User, committee: User, second: User
) -> None:
    first, find = propose(case, committee), case.finds.get()
    if changed == "description":
        change_find(find.pk, by=member, at=now(), materials={"silver": 91}, description="a hallmark inside")
    elif changed == "answers":
        answer_facts(find.pk, by=member, at=now(), answers={"others_nearby": "yes"})
    else:
        type(hunt).objects.filter(pk=hunt.pk).update(leader=second)  # nothing looked at the case since
    try:
        said = answer(case, make.person(Role.COMMITTEE), first).says
    except CaseError as error:
        said = Says.LAPSED if "lapsed" in str(error) else str(error)
    assert said == Says.LAPSED
    assert state(case) == CaseState.REVIEW
    assert case.votes.filter(says=Says.LAPSED).count() == 1


def test_after_a_lapse_it_can_be_proposed_anew(
    case: Case, member: User, committee: User, second: User
) -> None:
    propose(case, committee)
    change_find(case.finds.get().pk, by=member, at=now(), materials={"silver": 91}, description="cleaned")
    again = propose(case, committee, "still brass under the plating")
    answer(case, second, again)
    assert state(case) == CaseState.NO_DUTY


@pytest.mark.parametrize("lost", ["role", "membership", "account"])
def test_a_signature_of_somebody_who_left_the_committee_lapses(
    lost: str, case: Case, committee: User, second: User
) -> None:
    first = propose(case, committee)
    if lost == "role":
        RoleHeld.objects.filter(user=committee).update(ends=localdate())
    elif lost == "membership":
        Membership.objects.filter(user=committee).update(ends=localdate() - timedelta(1))
    else:
        User.objects.filter(pk=committee.pk).update(is_active=False)
    row = answer(case, second, first)
    assert (row.says, state(case)) == (Says.LAPSED, CaseState.REVIEW)
    assert "not in the committee any more" in row.words


def test_who_lost_the_role_while_the_page_was_open_signs_nothing(
    case: Case, committee: User, second: User
) -> None:
    first = propose(case, committee)
    assert second.roles  # read before the role ended, as a request does
    RoleHeld.objects.filter(user=second).update(ends=localdate())
    with pytest.raises(PermissionDenied):
        answer(case, second, first)
    assert state(case) == CaseState.REVIEW


def test_who_does_not_agree_keeps_it_open_and_is_not_outvoted(
    case: Case, committee: User, second: User
) -> None:
    first = propose(case, committee)
    answer(case, second, first, agrees=False, words="the core is silver")
    assert state(case) == CaseState.REVIEW
    with pytest.raises(CaseError, match=r"Hale Withern did not agree.*the core is silver"):
        propose(case, make.person(Role.COMMITTEE), "brass all the same")
    mine = propose(case, second, "weighed again: brass")
    answer(case, committee, mine)
    assert state(case) == CaseState.NO_DUTY


def test_new_facts_or_leaving_end_a_disagreement(
    case: Case, member: User, committee: User, second: User
) -> None:
    answer(case, second, propose(case, committee), agrees=False, words="no")
    change_find(case.finds.get().pk, by=member, at=now(), materials={"silver": 91}, description="assayed")
    answer(case, second, propose(case, committee), agrees=False, words="no again")
    RoleHeld.objects.filter(user=second).update(ends=localdate())
    assert propose(case, committee).pk


def test_a_second_proposal_is_refused_while_one_waits(case: Case, committee: User, second: User) -> None:
    propose(case, committee)
    with pytest.raises(CaseError, match="Cora Boulder has proposed it already"):
        propose(case, second)
    with pytest.raises(CaseError, match="You have proposed it already"):
        propose(case, committee)


def test_one_may_take_back_what_one_proposed_and_no_other(case: Case, committee: User, second: User) -> None:
    first = propose(case, committee)
    with pytest.raises(CaseError, match="Cora Boulder signed it"):
        take_back_no_duty(case.pk, by=second, at=now(), proposal=first.pk, words="x", client_id=uuid4())
    take_back_no_duty(case.pk, by=committee, at=now(), proposal=first.pk, words="too soon", client_id=uuid4())
    with pytest.raises(CaseError, match="waits for nobody any more: took the proposal back"):
        answer(case, second, first)


def test_one_alone_reports_it_and_the_proposal_lapses(case: Case, committee: User, second: User) -> None:
    first = propose(case, committee)
    case_reported(
        case.pk, by=second, at=now(), on=localdate(), reference="", words="", how="letter", to="museum"
    )
    assert state(case) == CaseState.REPORTED
    assert case.votes.get(says=Says.LAPSED).proposal == first


def test_sending_a_signature_twice_signs_once(case: Case, committee: User, second: User) -> None:
    key, other = uuid4(), uuid4()
    first = propose(case, committee, client_id=key)
    assert propose(case, committee, client_id=key) == first
    row = answer(case, second, first, client_id=other)
    assert answer(case, second, first, client_id=other) == row
    assert case.votes.count() == 2


@pytest.mark.parametrize("at_state", [CaseState.FLAGGED, CaseState.REPORTED, CaseState.CLOSED])
def test_it_is_proposed_only_while_the_case_is_looked_at(
    at_state: CaseState, hunt: Any, member: User, committee: User
) -> None:
    case = make_cases.case(hunt, member)
    Case.objects.filter(pk=case.pk).update(state=at_state)
    with pytest.raises(IllegalMoveError):
        propose(case, committee)


def test_votes_are_never_changed(case: Case, committee: User) -> None:
    first = propose(case, committee)
    with pytest.raises(AppendOnlyError):
        first.save()
    with pytest.raises(AppendOnlyError):
        first.delete()
