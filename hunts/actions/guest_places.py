"""Heads that come without an account: they hold places, go with their host, and are never left alone."""

from datetime import datetime

from django.utils.translation import gettext as _

from hunts.errors import RollCallError, SignUpError
from hunts.models import Guest, Hunt, SignUp
from people import audit
from people.models import User


def places_taken(hunt: Hunt) -> int:
    """Everybody who holds a place: members, guests and juniors. Count it with the hunt locked."""
    members = SignUp.objects.standing().filter(hunt=hunt).count()
    return members + Guest.objects.standing().filter(hunt=hunt).count()


def let_guests_go(row: SignUp, *, by: User, at: datetime) -> None:
    """Withdraw the guests of a host who withdraws. Call it with the hunt locked.

    Raises SignUpError while somebody else's junior counts on this person.
    """
    juniors = Guest.objects.standing().filter(responsible=row).exclude(host=row)
    names = sorted(juniors.values_list("name", flat=True))
    if names:
        raise SignUpError(
            _(
                "%(user_name)s answers for %(names)s. Let somebody else who is signed up answer first, "
                "or take the junior off the list."
            )
            % {"user_name": row.user.name, "names": ", ".join(names)}
        )
    for guest in Guest.objects.standing().filter(host=row):
        guest.withdrawn_at = at
        guest.save(update_fields=["withdrawn_at"])
        audit.record("guest.withdraw", guest, by=by, at=at, with_host=True)


def check_no_junior_left(row: SignUp) -> None:
    """Raise RollCallError while a junior this person answers for is still on the field."""
    names = sorted(Guest.objects.out().filter(responsible=row).values_list("name", flat=True))
    if names:
        raise RollCallError(
            _("%(user_name)s answers for %(names)s, who is still out. Sign the junior out first.")
            % {"user_name": row.user.name, "names": ", ".join(names)}
        )
