"""Add and change people, their memberships and insurances."""

from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils.timezone import localdate

from people import audit
from people.account_words import Change
from people.actions.accounts import end_sessions, note_change
from people.actions.letters import carry_mail_choices
from people.actions.roles import keep_a_secretary
from people.models import Insurance, Membership, User, account_at
from people.rights import Right, require


@transaction.atomic
def add_person(*, by: User, at: datetime, starts: date, ends: date, **fields: Any) -> User:
    """Make an account without a usable password, with its first membership; the person sets a password by e-mail.

    Adding the same address twice returns the account that is there.
    """
    require(by, Right.MANAGE_PEOPLE)
    found = account_at(fields["email"])
    if found is not None:
        return found
    person: User = User.objects.create_user(**fields)
    Membership.objects.create(user=person, starts=starts, ends=ends)
    audit.record("person.add", person, by=by, at=at, member_until=ends.isoformat())
    return person


@transaction.atomic
def change_person(person_id: int, *, by: User, at: datetime, **fields: Any) -> User:
    """Change somebody's contact details or switch the account on or off.

    Raises LastSecretaryError when that would switch off the only secretary.
    """
    require(by, Right.MANAGE_PEOPLE)
    person: User = User.objects.select_for_update().get(pk=person_id)
    if person.is_active and not fields.get("is_active", True) and person.holds(Right.MANAGE_PEOPLE):
        keep_a_secretary(person, on=localdate(at))
    is_switched_off = person.is_active and not fields.get("is_active", True)
    changed = _change(person_id, "person.change", by=by, at=at, fields=fields)
    if is_switched_off:
        end_sessions(person_id, why="the account was switched off", by=by, via="", at=at)
    return changed


@transaction.atomic
def change_own(*, by: User, at: datetime, **fields: Any) -> User:
    """A person changes their own contact details."""
    return _change(by.pk, "person.change_own", by=by, at=at, fields=fields)


def _change(person_id: int, verb: str, *, by: User, at: datetime, fields: dict[str, Any]) -> User:
    person: User = User.objects.select_for_update().get(pk=person_id)
    changed = [name for name, value in fields.items() if getattr(person, name) != value]
    if "email" in changed:
        note_change(person, Change.ADDRESS, by=by, via="", at=at)  # to the old address
        carry_mail_choices(person.email, fields["email"], by=by, at=at)
    for name in changed:
        setattr(person, name, fields[name])
    if changed:
        person.save(update_fields=changed)
        audit.record(verb, person, by=by, at=at, changed=changed)
    return person


@transaction.atomic
def give_membership(person: User, *, by: User, at: datetime, starts: date, ends: date) -> Membership:
    """Record a membership from `starts` to `ends`, both days included. The same period twice is one row."""
    require(by, Right.MANAGE_PEOPLE)
    row, made = Membership.objects.get_or_create(user=person, starts=starts, ends=ends)
    if made:
        audit.record("membership.give", person, by=by, at=at, starts=str(starts), ends=str(ends))
    return row


@transaction.atomic
def give_insurance(person: User, *, by: User, at: datetime, **fields: Any) -> Insurance:
    """Record the insurance card a person showed. The same card twice is one row."""
    require(by, Right.MANAGE_PEOPLE)
    row, made = Insurance.objects.get_or_create(user=person, **fields)
    if made:
        audit.record("insurance.give", person, by=by, at=at, ends=str(row.ends))
    return row
