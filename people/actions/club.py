"""Change the club's settings and its contacts."""

from datetime import datetime
from typing import Any

from django.db import transaction

from people import audit
from people.models import Club, Contact, User
from people.rights import Right, require


@transaction.atomic
def change_club(*, by: User, at: datetime, **fields: Any) -> Club:
    """Save the settings of the one club."""
    require(by, Right.MANAGE_CLUB)
    club, _ = Club.objects.update_or_create(pk=1, defaults=fields)
    audit.record("club.change", club, by=by, at=at, changed=sorted(fields))
    return club


@transaction.atomic
def save_contact(contact_id: int | None, *, by: User, at: datetime, **fields: Any) -> Contact:
    """Add a contact, or change the one with `contact_id`."""
    require(by, Right.MANAGE_CLUB)
    if contact_id is None:
        contact, made = Contact.objects.get_or_create(**fields)
        verb = "contact.add"
    else:
        contact, made = Contact.objects.update_or_create(pk=contact_id, defaults=fields)
        verb = "contact.add" if made else "contact.change"
    audit.record(verb, contact, by=by, at=at, kind=contact.kind)
    return contact


@transaction.atomic
def remove_contact(contact: Contact, *, by: User, at: datetime) -> None:
    """Remove a contact that is no longer to be called."""
    require(by, Right.MANAGE_CLUB)
    audit.record("contact.remove", contact, by=by, at=at, kind=contact.kind, name=contact.name)
    contact.delete()
