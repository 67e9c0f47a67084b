"""Signatures, sendings and reminders at the same moment, under real threads."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest
from django.utils.timezone import now

from people.models import Letter
from people.rights import Role
from permissions.actions import change_permission
from permissions.models import Consent, Permission
from permissions.models.site import Capacity, Tenure
from permissions.states import State
from reports import actions
from reports.actions import OutdatedError
from reports.agreements import digest_of, signed_text
from reports.models import AgreementIssue, Reminder, Signature, SignatureRequest
from tests import make, make_letters
from tests.actions.test_hunt_races import together

pytestmark = pytest.mark.django_db(transaction=True)


def asked() -> tuple[Permission, list[SignatureRequest]]:
    make.club()
    site = make.site(tenure=Tenure.LET)
    site.parties.create(landholder=make.landholder(), capacity=Capacity.OCCUPIER)
    permission = make.permission(site, consents=False, state=State.DRAFT)
    return permission, make.agreement(permission, by=make.person(Role.SECRETARY))


def signing(request: SignatureRequest) -> Callable[[], Signature]:
    read = digest_of(signed_text(request))
    return lambda: actions.sign_agreement(
        request.pk,
        via="signing link",
        at=now(),
        client_id=uuid4(),
        name="Ada Warp",
        read_sha256=read,
        drawn=[],
    )


def test_the_last_two_signatures_at_once_grant_the_permission() -> None:
    permission, requests = asked()
    together(*map(signing, requests))
    permission.refresh_from_db()
    assert (permission.state, Signature.objects.count()) == (State.GRANTED, 2)


def test_one_signature_sent_three_times_at_once_is_one() -> None:
    _, requests = asked()
    rows = together(*[signing(requests[0])] * 3)
    assert len({row.pk for row in rows}) == 1
    assert Consent.objects.count() == 1


def test_terms_changed_at_the_moment_of_signing_are_never_signed_unread() -> None:
    """Either the signature came first, under the old text, or it was refused."""
    permission, requests = asked()
    secretary = make.person(Role.SECRETARY)

    def change() -> Permission:
        sites = list(permission.sites.all())
        return change_permission(permission.pk, by=secretary, at=now(), sites=sites, depth_limit_cm=20)

    signed, _ = together(signing(requests[0]), change)
    if isinstance(signed, OutdatedError):
        assert Consent.objects.count() == 0
    else:
        assert "20 cm" not in signed.text


def test_an_agreement_sent_by_two_at_once_is_one_issue() -> None:
    make.club()
    permission = make.permission(make.site(), consents=False, state=State.DRAFT)
    people = [make.person(Role.SECRETARY) for _ in range(2)]
    together(*(lambda p=p: make.agreement(permission, by=p) for p in people))
    assert (AgreementIssue.objects.count(), SignatureRequest.objects.count()) == (1, 1)


def test_two_runs_of_the_reminder_write_to_a_person_once() -> None:
    person = make.person()
    draft = make_letters.draft(person.email)
    send: Any = lambda: actions.send_reminder(person, draft, via="command remind", at=now(), items=1)  # noqa: E731
    rows = together(*[send] * 4)
    assert sum(isinstance(row, Reminder) for row in rows) == 1
    assert Letter.objects.count() == 1
