"""Give and take roles."""

from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext as _

from people import audit
from people.actions.accounts import end_sessions
from people.models import Club, RoleHeld, User
from people.rights import Right, Role, require


class LastSecretaryError(Exception):
    """The club would be left without anybody who can act as its secretary."""

    def __init__(self, name: str) -> None:
        super().__init__(
            _("%(name)s is the only secretary who is a member now. Give the role to another member first.")
            % {"name": name}
        )


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
    if row.role == Role.SECRETARY:
        keep_a_secretary(row.user, on=on)
    row.ends = on
    row.save(update_fields=["ends"])
    audit.record("role.take", row.user, by=by, at=at, role=row.role)
    end_sessions(row.user_id, why="a role was taken back", by=by, via="", at=at)
    return row


def keep_a_secretary(going: User, *, on: date) -> None:
    """Raise LastSecretaryError unless somebody besides `going` can act as secretary on `on`. Inside a transaction.

    The club's one row is the lock: two secretaries who take each other's role at once must not both succeed.
    """
    list(Club.objects.select_for_update().filter(pk=1))
    acting = RoleHeld.objects.current(on).filter(role=Role.SECRETARY, user__is_active=True)
    if not acting.exclude(user=going).filter(user__in=User.objects.members_on(on)).exists():
        raise LastSecretaryError(going.name)
