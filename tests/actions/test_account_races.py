"""Two at once at one account or invitation, under real threads."""

from uuid import uuid4

import pytest
from allauth.mfa.models import Authenticator
from django.utils.timezone import now

from people import actions
from people.invitations import InvitationKeyError, key_of
from people.models import AuditEntry, Invitation, Letter
from people.rights import Role
from tests import make, make_factors
from tests.actions.test_hunt_races import together

pytestmark = pytest.mark.django_db(transaction=True)
PASSWORDS = ("wet-sand-and-small-change-77", "dry-sand-and-large-change-88")


def test_an_invitation_opened_in_two_windows_is_accepted_once() -> None:
    row = make_factors.invited(by=make.person(Role.SECRETARY))
    key = key_of(row)
    ends = together(
        *(
            lambda password=password: actions.accept_invitation(
                key, name="Nan", password=password, via="invitation", at=now()
            )
            for password in PASSWORDS
        )
    )
    assert sum(isinstance(end, InvitationKeyError) for end in ends) == 1
    row.user.refresh_from_db()
    assert sum(row.user.check_password(password) for password in PASSWORDS) == 1
    assert AuditEntry.objects.filter(verb="person.invite_accepted").count() == 1


def test_withdrawn_and_accepted_at_once_is_one_of_the_two() -> None:
    secretary = make.person(Role.SECRETARY)
    row = make_factors.invited(by=secretary)
    key = key_of(row)
    together(
        lambda: actions.accept_invitation(key, name="Nan", password=PASSWORDS[0], via="invitation", at=now()),
        lambda: actions.withdraw_invitation(row.pk, by=secretary, at=now()),
    )
    row.refresh_from_db()
    row.user.refresh_from_db()
    assert (row.accepted_at is None) != (row.withdrawn_at is None)
    assert row.user.has_usable_password() is row.user.is_active is (row.accepted_at is not None)


def test_two_secretaries_who_invite_at_once_leave_one_invitation() -> None:
    row = make_factors.invited(by=make.person(Role.SECRETARY))
    Invitation.objects.all().delete()
    both = [make.person(Role.SECRETARY) for _ in "ab"]
    ends = together(
        *(
            lambda by=by: actions.send_invitation(row.user_id, by=by, at=now(), site="https://club.example")
            for by in both
        )
    )
    assert not any(isinstance(end, Exception) for end in ends)
    assert Invitation.objects.undecided().count() == 1


def test_the_form_sent_twice_at_once_invites_once() -> None:
    secretary = make.person(Role.SECRETARY)
    client_id = uuid4()
    year = {"starts": make.days(0), "ends": make.days(364)}
    ends = together(
        *(
            lambda: actions.invite_person(
                by=secretary,
                at=now(),
                site="https://club.example",
                client_id=client_id,
                email="nan@marram.example",
                name="Nan",
                **year,
            )
            for _ in "ab"
        )
    )
    assert len({end.pk for end in ends}) == 1
    assert Letter.objects.filter(to="nan@marram.example").count() == 1


def test_sessions_ended_twice_at_once_are_counted_twice() -> None:
    """Neither of two ends may be lost: a session begun between them must not live on."""
    person = make.person()
    make_factors.app(person)
    together(
        *(
            lambda: actions.end_sessions(person.pk, why="a role was taken back", by=None, via="x", at=now())
            for _ in "ab"
        )
    )
    person.refresh_from_db()
    assert person.sessions_epoch == 2
    assert Authenticator.objects.count() == 1
