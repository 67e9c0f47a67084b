"""Places, the waiting list, and papers judged on the day of the hunt."""

from datetime import timedelta
from typing import Any

import pytest
from django.core import mail
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.timezone import now

from hunts import actions
from hunts.errors import NotEligibleError, SignUpError
from hunts.gate import about_people, gate_now
from hunts.models import Hunt, SignUp
from people.models import AuditEntry, Insurance, Membership, User
from permissions.gate import PERSONAL, PersonFacts, ReasonCode
from permissions.models import Permission
from tests import make


@pytest.fixture
def hunt(leader: User) -> Hunt:
    made = make.hunt(leader=leader, on=make.days(20), capacity=2)
    make.sign_up(made, leader, asked_at=now() - timedelta(1))
    return made


def test_signing_up_twice_is_signing_up_once(hunt: Hunt, member: User) -> None:
    first = actions.sign_up(hunt.pk, by=member, at=now())
    again = actions.sign_up(hunt.pk, by=member, at=now())
    assert first == again
    assert first.state == "in"
    assert AuditEntry.objects.filter(verb="hunt.sign_up").count() == 1


def test_a_full_hunt_puts_people_on_the_waiting_list(hunt: Hunt, member: User) -> None:
    actions.sign_up(hunt.pk, by=member, at=now())
    assert actions.sign_up(hunt.pk, by=make.person(), at=now()).state == "waiting"


def test_withdrawing_promotes_exactly_the_oldest_and_tells_them(
    hunt: Hunt, member: User, django_capture_on_commit_callbacks: Any
) -> None:
    actions.sign_up(hunt.pk, by=member, at=now())
    late, early = make.person(), make.person()
    make.sign_up(hunt, late, state="waiting", asked_at=now())
    make.sign_up(hunt, early, state="waiting", asked_at=now() - timedelta(hours=1))
    with django_capture_on_commit_callbacks(execute=True):
        actions.withdraw(hunt.pk, by=member, at=now())
    assert SignUp.objects.get(user=early).state == "in"
    assert SignUp.objects.get(user=early).promoted_at is not None
    assert SignUp.objects.get(user=late).state == "waiting"
    assert [message.to for message in mail.outbox] == [[early.email]]
    assert "A place is yours" in mail.outbox[0].subject


def test_withdrawing_twice_promotes_once(hunt: Hunt, member: User) -> None:
    actions.sign_up(hunt.pk, by=member, at=now())
    for _ in range(2):
        make.sign_up(hunt, make.person(), state="waiting")
    for _ in range(2):
        actions.withdraw(hunt.pk, by=member, at=now())
    assert SignUp.objects.standing().filter(hunt=hunt).count() == 2
    assert SignUp.objects.waiting().filter(hunt=hunt).count() == 1


def test_somebody_whose_papers_have_lapsed_keeps_their_turn_but_is_passed_over(
    hunt: Hunt, member: User
) -> None:
    actions.sign_up(hunt.pk, by=member, at=now())
    lapsed, fit = make.person(insured=False), make.person()
    make.sign_up(hunt, lapsed, state="waiting", asked_at=now() - timedelta(hours=2))
    make.sign_up(hunt, fit, state="waiting")
    actions.withdraw(hunt.pk, by=member, at=now())
    assert SignUp.objects.get(user=fit).state == "in"
    assert SignUp.objects.get(user=lapsed).state == "waiting"


def test_no_mail_leaves_when_the_transaction_is_undone(
    hunt: Hunt, member: User, django_capture_on_commit_callbacks: Any
) -> None:
    actions.sign_up(hunt.pk, by=member, at=now())
    make.sign_up(hunt, make.person(), state="waiting")
    with django_capture_on_commit_callbacks(execute=True), transaction.atomic():
        actions.withdraw(hunt.pk, by=member, at=now())
        transaction.set_rollback(True)
    assert mail.outbox == []
    assert SignUp.objects.get(user=member).state == "in"


@pytest.mark.parametrize(("model", "word"), [(Insurance, "insurance"), (Membership, "membership")])
def test_papers_are_judged_on_the_day_of_the_hunt(hunt: Hunt, member: User, model: Any, word: str) -> None:
    model.objects.filter(user=member).update(ends=hunt.on - timedelta(1))
    with pytest.raises(NotEligibleError) as caught:
        actions.sign_up(hunt.pk, by=User.objects.get(pk=member.pk), at=now())
    assert f"{word} ends on {hunt.on - timedelta(1):%-d %b %Y}" in str(caught.value)
    assert f"hunt on {hunt.on:%-d %b %Y}" in str(caught.value)
    model.objects.filter(user=member).update(ends=hunt.on)
    assert actions.sign_up(hunt.pk, by=User.objects.get(pk=member.pk), at=now()).state == "in"


def test_both_papers_are_named_together(hunt: Hunt, member: User) -> None:
    Insurance.objects.filter(user=member).delete()
    Membership.objects.filter(user=member).update(ends=hunt.on - timedelta(3))
    with pytest.raises(NotEligibleError) as caught:
        actions.sign_up(hunt.pk, by=member, at=now())
    assert len(caught.value.reasons) == 2
    assert "No insurance is on record" in str(caught.value)


def test_terms_that_name_people_shut_out_the_rest(hunt: Hunt, member: User) -> None:
    hunt.permission.named_only = True
    hunt.permission.save()
    with pytest.raises(NotEligibleError, match="named"):
        actions.sign_up(hunt.pk, by=member, at=now())
    hunt.permission.named_people.add(member)
    assert actions.sign_up(hunt.pk, by=member, at=now()).state == "in"


@pytest.mark.parametrize("state", ["planned", "running", "closed", "called off"])
def test_sign_up_is_open_only_while_the_hunt_is(member: User, state: str) -> None:
    hunt = make.hunt(state=state)
    with pytest.raises(SignUpError, match=f"is {state}"):
        actions.sign_up(hunt.pk, by=member, at=now())


def test_yesterdays_hunt_takes_nobody(member: User) -> None:
    with pytest.raises(SignUpError, match="has gone by"):
        actions.sign_up(make.hunt(on=make.days(-1)).pk, by=member, at=now())


def test_the_leader_hands_over_before_withdrawing(hunt: Hunt, leader: User) -> None:
    with pytest.raises(SignUpError, match="Hand the lead"):
        actions.withdraw(hunt.pk, by=leader, at=now())


def test_somebody_on_the_field_cannot_withdraw(leader: User, member: User) -> None:
    hunt = make.hunt(leader=leader, state="running")
    make.attendance(hunt, member)
    with pytest.raises(SignUpError, match="roll call"):
        actions.withdraw(hunt.pk, by=member, at=now())


def test_coming_back_after_withdrawing_takes_a_new_turn(hunt: Hunt, member: User) -> None:
    actions.sign_up(hunt.pk, by=member, at=now())
    actions.withdraw(hunt.pk, by=member, at=now())
    actions.sign_up(hunt.pk, by=make.person(), at=now())
    assert actions.sign_up(hunt.pk, by=member, at=now()).state == "waiting"
    assert SignUp.objects.filter(hunt=hunt, user=member).count() == 1


def test_the_leader_adds_somebody_at_the_gate_while_it_runs(leader: User, member: User) -> None:
    hunt = make.hunt(leader=leader, state="running")
    row = actions.sign_up(hunt.pk, by=leader, at=now(), person=member)
    assert (row.user, row.state) == (member, "in")
    with pytest.raises(NotEligibleError, match="No insurance is on record"):
        actions.sign_up(hunt.pk, by=leader, at=now(), person=make.person(insured=False))


def test_a_member_signs_up_nobody_else(hunt: Hunt, member: User) -> None:
    with pytest.raises(PermissionDenied):
        actions.sign_up(hunt.pk, by=member, at=now(), person=make.person())


def test_the_secretary_signs_up_a_member_ahead_and_they_are_told(
    hunt: Hunt, member: User, secretary: User, django_capture_on_commit_callbacks: Any
) -> None:
    """The same places and the same waiting list as for whoever signs up themselves."""
    second = make.person()
    with django_capture_on_commit_callbacks(execute=True):
        first_row = actions.sign_up(hunt.pk, by=secretary, at=now(), person=member)
        again = actions.sign_up(hunt.pk, by=secretary, at=now(), person=member)
        waits = actions.sign_up(hunt.pk, by=secretary, at=now(), person=second)
    assert (first_row.state, waits.state, again) == ("in", "waiting", first_row)
    told = {sent.to[0]: sent for sent in mail.outbox}
    assert len(mail.outbox) == 2
    assert told[member.email].subject.startswith("You are signed up: ")
    assert f"{secretary.name} signed you up for" in told[member.email].body
    assert told[second.email].subject.startswith("You are on the waiting list: ")
    entry = AuditEntry.objects.filter(verb="hunt.sign_up").earliest("pk")
    assert entry.by == secretary
    assert SignUp.objects.get(hunt=hunt, user=member).user == member


def test_whoever_signs_up_themselves_gets_no_letter_and_members_sign_up_nobody_else(
    hunt: Hunt, member: User, secretary: User, django_capture_on_commit_callbacks: Any
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        actions.sign_up(hunt.pk, by=secretary, at=now())
        with pytest.raises(PermissionDenied):
            actions.sign_up(hunt.pk, by=member, at=now(), person=make.person())
    assert mail.outbox == []


def test_a_member_without_cover_on_that_day_is_not_signed_up_by_others_either(
    hunt: Hunt, secretary: User
) -> None:
    bare = make.person(insured=False)
    with pytest.raises(NotEligibleError):
        actions.sign_up(hunt.pk, by=secretary, at=now(), person=bare)
    assert not SignUp.objects.filter(user=bare).exists()


def test_what_is_asked_of_people_alone_is_what_the_whole_gate_says_of_them(
    hunt: Hunt, member: User, secretary: User
) -> None:
    """The ground is passed over, and nothing else: terms of this and of other agreements, cards, guests, juniors."""
    (site,) = hunt.sites.all()
    Permission.objects.filter(pk=hunt.permission_id).update(
        named_only=True, minimum_age=21, insurance_floor=9e6
    )
    make.permission(site, reference="OTHER", named_only=True, guests_allowed=False)
    paused = make.permission(site, reference="PAUSED", consents=False, state="paused", named_only=True)
    Insurance.objects.filter(user=secretary).delete()
    guest = PersonFacts("guest:1", "Wren", is_guest=True, is_junior=True)
    hunt = Hunt.objects.get(pk=hunt.pk)
    for people in ([member], [secretary, member], []):
        whole = gate_now(hunt, at=now(), people=people, guests=[guest])
        said = {(r.words, r.record) for s in whole.sites for r in s.reasons if ReasonCode(r.code) in PERSONAL}
        alone = about_people(hunt, people=people, guests=[guest])
        assert {(r.words, r.record) for r in alone} == said
        assert {r.code for r in alone} >= {ReasonCode.GUEST, ReasonCode.AGE_UNKNOWN, ReasonCode.NOT_NAMED}
        assert any("OTHER" in r.words for r in alone)
        assert not any(paused.reference in r.words for r in alone)
