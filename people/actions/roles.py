"""Give and take roles."""

from datetime import date, datetime

from django.db import transaction

from people import audit
from people.models import RoleHeld, User
from people.rights import Right, Role, require


class LastSecretaryError(Exception):
    """Taking this role would leave the club without a secretary."""

    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is the only secretary. Give the role to somebody else first.")


@transaction.atomic
def give_role(person: User, role: Role, *, by: User, at: datetime, on: date) -> RoleHeld:
    """Give `role` from `on`. Giving it twice changes nothing."""
    require(by, Right.MANAGE_PEOPLE)
    row, made = RoleHeld.objects.get_or_create(user=person, role=role, ends=None, defaults={"starts": on})
    if made:
        audit.record("role.give", person, by=by, at=at, role=role.value)
    return row


@transaction.atomic
def take_role(held_id: int, *, by: User, at: datetime, on: date) -> RoleHeld:
    """End a role on `on`. Raises LastSecretaryError when nobody else would be secretary."""
    require(by, Right.MANAGE_PEOPLE)
    row = RoleHeld.objects.select_for_update(of=("self",)).select_related("user").get(pk=held_id)
    if row.ends is not None:
        return row
    others = RoleHeld.objects.select_for_update().filter(role=Role.SECRETARY, ends=None).exclude(pk=row.pk)
    if row.role == Role.SECRETARY and not others.exists():
        raise LastSecretaryError(row.user.name)
    row.ends = on
    row.save(update_fields=["ends"])
    audit.record("role.take", row.user, by=by, at=at, role=row.role)
    return row
