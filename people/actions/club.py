"""Change the club's settings and its contacts."""

from datetime import datetime
from typing import Any

from django.db import transaction

from people import audit
from people.models import Club, Contact, User
from people.rights import Right, require


@transaction.atomic
def change_club(*, by: User, at: datetime, **fields: Any) -> Club:
    """Save the settings of the one club; the trail names what changed."""
    require(by, Right.MANAGE_CLUB)
    club = Club.objects.select_for_update().filter(pk=1).first() or Club(pk=1)
    changed = [name for name, value in fields.items() if getattr(club, name) != value]
    for name in changed:
        setattr(club, name, fields[name])
    if changed or club._state.adding:
        club.save()
        audit.record("club.change", club, by=by, at=at, changed=sorted(changed))
    return club


@transaction.atomic
def save_contact(contact_id: int | None, *, by: User, at: datetime, **fields: Any) -> Contact:
    """Add a contact, or change the one with `contact_id`. The same contact added twice is one."""
    require(by, Right.MANAGE_CLUB)
    if contact_id is None:
        contact, made = Contact.objects.get_or_create(**fields)
        if made:
            audit.record("contact.add", contact, by=by, at=at)
        return contact
    contact = Contact.objects.select_for_update().get(pk=contact_id)
    changed = [name for name, value in fields.items() if getattr(contact, name) != value]
    for name in changed:
        setattr(contact, name, fields[name])
    if changed:
        contact.save(update_fields=changed)
        audit.record("contact.change", contact, by=by, at=at, changed=sorted(changed))
    return contact


@transaction.atomic
def remove_contact(contact: Contact, *, by: User, at: datetime) -> None:
    """Remove a contact that is no longer to be called. Twice is once."""
    require(by, Right.MANAGE_CLUB)
    row = Contact.objects.select_for_update().filter(pk=contact.pk).first()
    if row is not None:
        audit.record("contact.remove", row, by=by, at=at)
        row.delete()
