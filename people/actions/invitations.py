"""Invite somebody, send it again, withdraw it, and accept it: the one way to an account."""

import uuid
from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Any

from django.contrib.auth.hashers import UNUSABLE_PASSWORD_PREFIX
from django.db import transaction
from django.urls import reverse
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from people import audit
from people.actions.persons import add_person
from people.actions.roles import give_role
from people.invitations import InvitationKeyError, key_of, open_invitation
from people.letter_kinds import LetterKind
from people.letters import compose, queue, take_back
from people.models import Club, Invitation, Membership, RoleHeld, User, account_at
from people.rights import Right, Role, require

LASTS = timedelta(days=7)
A_YEAR = timedelta(days=364)


class InvitationError(Exception):
    """Nobody is invited or withdrawn; the sentence says why and what to do."""


@transaction.atomic
def invite_person(
    *, by: User, at: datetime, site: str, client_id: uuid.UUID, roles: Iterable[Role] = (), **fields: Any
) -> Invitation:
    """Make an account without a password, its membership and roles, and send its invitation. Twice is once.

    `site` is the address of the site, without a slash at the end. Other `fields` as for `add_person`.
    """
    require(by, Right.MANAGE_PEOPLE)
    User.objects.select_for_update().get(pk=by.pk)  # the same form sent twice at once takes turns here
    found = Invitation.objects.filter(client_id=client_id).first()
    if found is not None:
        return found
    person = add_person(by=by, at=at, **fields)
    for role in roles:
        give_role(person, role, by=by, at=at, on=localdate(at))
    return send_invitation(person.pk, by=by, at=at, site=site, client_id=client_id)


@transaction.atomic
def send_invitation(
    person_id: int,
    *,
    by: User,
    at: datetime,
    site: str,
    client_id: uuid.UUID | None = None,
    soon: bool = True,
) -> Invitation:
    """Send somebody an invitation, or the one that waits once more: with a new address, so the old one is shut.

    With `soon` the letter is tried at once; many together leave it to the outbox. Raises InvitationError for who has
    a password already.
    """
    require(by, Right.MANAGE_PEOPLE)
    person: User = User.objects.select_for_update().get(pk=person_id)
    if person.has_usable_password():
        raise InvitationError(
            _(
                "%(person_name)s has a password already. Who forgot it chooses a new one from the "
                "sign-in page."
            )
            % {"person_name": person.name}
        )
    if not person.is_active:
        person.is_active = True
        person.save(update_fields=["is_active"])
    row = Invitation.objects.undecided().filter(user=person).first() or Invitation(
        user=person, made_by=by, made_at=at, client_id=client_id or uuid.uuid4()
    )
    row.nonce, row.sent_at, row.expires_at = uuid.uuid4(), at, at + LASTS
    row.save()
    _write(row, by=by, site=site, soon=soon)
    audit.record("person.invite", person, by=by, at=at)
    return row


@transaction.atomic
def invite_first(*, email: str, name: str, via: str, at: datetime, site: str) -> str:
    """Make the first secretary's account and invitation; the address that opens it, to be handed over by hand.

    Raises InvitationError while somebody acts as secretary: from then on the club invites for itself.
    """
    list(Club.objects.select_for_update().filter(pk=1))
    today = localdate(at)
    acting = RoleHeld.objects.current(today).filter(role=Role.SECRETARY, user__is_active=True)
    if acting.exclude(user__password__startswith=UNUSABLE_PASSWORD_PREFIX).exists():
        raise InvitationError(
            _("The club has a secretary, who invites everybody else on the page of people.")
        )
    person = account_at(email) or User.objects.create_user(email=email, name=name)
    if person.has_usable_password():
        raise InvitationError(
            _("%(email)s has a password already; a new secretary needs another address.") % {"email": email}
        )
    Membership.objects.get_or_create(user=person, starts=today, ends=today + A_YEAR)
    RoleHeld.objects.get_or_create(user=person, role=Role.SECRETARY, ends=None, defaults={"starts": today})
    Invitation.objects.undecided().filter(user=person).update(withdrawn_at=at)
    row = Invitation.objects.create(
        user=person, made_by=person, made_at=at, sent_at=at, expires_at=at + LASTS, client_id=uuid.uuid4()
    )
    audit.record("person.invite_first", person, by=None, via=via, at=at)
    return site + reverse("people:invited", args=[key_of(row)])


def _write(row: Invitation, *, by: User, site: str, soon: bool) -> None:
    key = f"invitation {row.pk} "
    take_back(key, at=row.sent_at)
    facts = {
        "person": row.user,
        "by": by.name,
        "address": site + reverse("people:invited", args=[key_of(row)]),
        "until": row.expires_at,
    }
    letter = compose(
        row.user.email,
        LetterKind.ACCOUNT,
        "people/mail/invitation",
        facts,
        expires_at=row.expires_at,
        dedupe_key=f"{key}{row.nonce.hex}",
    )
    queue([letter], soon=soon)


@transaction.atomic
def withdraw_invitation(invitation_id: int, *, by: User, at: datetime) -> Invitation:
    """Shut the address that was sent and switch the account off until it is invited again. Twice is once."""
    require(by, Right.MANAGE_PEOPLE)
    seen = Invitation.objects.get(pk=invitation_id)
    User.objects.select_for_update().get(pk=seen.user_id)  # the account first, as whoever accepts does
    row = Invitation.objects.select_for_update(of=("self",)).select_related("user").get(pk=invitation_id)
    if row.accepted_at is not None:
        raise InvitationError(
            _("%(user_name)s has accepted already. To close the account, take “may sign in” off it.")
            % {"user_name": row.user.name}
        )
    if row.withdrawn_at is None:
        row.withdrawn_at = at
        row.save(update_fields=["withdrawn_at"])
        User.objects.filter(pk=row.user_id).update(is_active=False)
        take_back(f"invitation {row.pk} ", at=at)
        audit.record("person.invite_withdrawn", row.user, by=by, at=at)
    return row


@transaction.atomic
def accept_invitation(key: str, *, name: str, password: str, via: str, at: datetime) -> User:
    """Give the invited account its person's name and password. Raises InvitationKeyError when the address is shut."""
    seen = open_invitation(key, at=at)
    person: User = User.objects.select_for_update().get(pk=seen.user_id)
    row = Invitation.objects.live(at).select_for_update(of=("self",)).filter(nonce=seen.nonce).first()
    if row is None or person.has_usable_password():
        raise InvitationKeyError(
            _("This invitation was used a moment ago. Sign in with the password that was chosen.")
        )
    row.accepted_at = at
    row.save(update_fields=["accepted_at"])
    person.name = name
    person.set_password(password)
    person.save(update_fields=["name", "password"])
    audit.record("person.invite_accepted", person, by=person, at=at, via=via)
    return person
