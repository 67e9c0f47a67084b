"""Enter an outing that took place before the club kept its records here, so that its finds have a day and a field."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, time
from typing import Any
from uuid import UUID, uuid4

from django.db import transaction
from django.db.models import ProtectedError
from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from hunts.actions.locks import locked_hunt
from hunts.codes import next_code
from hunts.errors import HuntError
from hunts.models import Hunt, HuntSite, SignUp
from hunts.models.hunt import WHOLE_DAY
from hunts.past_ground import boundary_then, check_day_past
from hunts.states import HuntState, SignUpState
from people import audit
from people.models import User
from people.rights import Right, require
from permissions.models import Permission, Site


@transaction.atomic
def enter_past_outing(
    sites: Sequence[Site], people: Iterable[User], *, by: User, at: datetime, client_id: UUID, **fields: Any
) -> Hunt:
    """A closed hunt without a roll call or an answer of the gate; who was there may have finds recorded.

    `fields` are those of the form (hunts/forms/past.py), `on` and `leader` always. It keeps each site's boundary of
    that day, or the first that was drawn. Without times it holds the whole day. The same `client_id` again returns
    the outing that is there. Raises HuntError for a day that is not past, a site without a boundary, or a permission
    that does not cover sites and day.
    """
    require(by, Right.MANAGE_PERMISSIONS)
    code = next_code(fields["on"])  # under a lock: the same form sent twice at once waits here
    if (there := Hunt.objects.filter(client_id=client_id).first()) is not None:
        return there
    check_past(fields["on"], fields.get("permission"), sites, today=localdate(at))
    there_then = with_leader(people, fields["leader"])
    hunt = Hunt.objects.create(
        client_id=client_id,
        code=code,
        capacity=len(there_then),
        state=HuntState.CLOSED,
        closed_at=at,  # when it was entered, and by whom
        closed_by=by,
        **(fields | whole_day(fields)),
    )
    _keep_who_and_where(hunt, sites, there_then.values(), at=at)
    codes = [site.code for site in sites]
    audit.record("hunt.past", hunt, by=by, at=at, on=hunt.on.isoformat(), sites=codes, basis=hunt.past_basis)
    return hunt


def whole_day(fields: Mapping[str, Any]) -> dict[str, time]:
    """The times given; those of the whole day where nobody wrote any down."""
    return {
        "starts_at": fields.get("starts_at") or WHOLE_DAY[0],
        "ends_at": fields.get("ends_at") or WHOLE_DAY[1],
    }


def with_leader(people: Iterable[User], leader: User) -> dict[int, User]:
    """Who was there, by key; whoever led it was."""
    return {leader.pk: leader} | {person.pk: person for person in people}


def check_past(on: date, permission: Permission | None, sites: Sequence[Site], *, today: date) -> None:
    """Raises HuntError for a day that is not past, or a permission that does not cover sites and day."""
    check_day_past(on, today=today)
    if permission is not None:
        _check_covers(permission, sites, on)


def _keep_who_and_where(hunt: Hunt, sites: Sequence[Site], people: Iterable[User], *, at: datetime) -> None:
    for site in sites:
        HuntSite.objects.create(hunt=hunt, site=site, boundary=boundary_then(site, hunt.on))
    for person in people:
        SignUp.objects.create(client_id=uuid4(), hunt=hunt, user=person, state=SignUpState.IN, asked_at=at)


def _check_covers(permission: Permission, sites: Sequence[Site], on: date) -> None:
    own = set(permission.sites.values_list("pk", flat=True))
    outside = [site.code for site in sites if site.pk not in own]
    if outside:
        raise HuntError(
            _("%(outside)s is not part of %(permission)s; choose another permission, or none.")
            % {"outside": ", ".join(outside), "permission": permission}
        )
    if (permission.starts and on < permission.starts) or (permission.ends and on > permission.ends):
        raise HuntError(
            _(
                "%(permission)s was not in force on %(on)s; choose another permission, or say how it was "
                "agreed."
            )
            % {"permission": permission, "on": date_format(on, "j M Y")}
        )


@transaction.atomic
def add_to_past_outing(hunt_id: int, people: Iterable[User], *, by: User, at: datetime) -> Hunt:
    """Say of more people that they were there; who is on the list already stays as they are.

    Raises HuntError for any other hunt: who was at one is what its roll says.
    """
    require(by, Right.MANAGE_PERMISSIONS)
    hunt = locked_hunt(hunt_id)
    if not hunt.is_past_outing:
        raise HuntError(
            _("%(hunt_code)s is no past outing; its leader adds whoever was there.")
            % {"hunt_code": hunt.code}
        )
    there = set(SignUp.objects.standing().filter(hunt=hunt).values_list("user_id", flat=True))
    missing = [person for person in people if person.pk not in there]
    for person in missing:
        SignUp.objects.create(client_id=uuid4(), hunt=hunt, user=person, state=SignUpState.IN, asked_at=at)
    if missing:
        audit.record("hunt.past_people", hunt, by=by, at=at, people=[person.pk for person in missing])
    return hunt


@transaction.atomic
def remove_past_outing(hunt_id: int, *, by: User, at: datetime) -> None:
    """Take away an outing that was entered wrongly.

    Raises HuntError for any other hunt, and once something hangs on it.
    """
    require(by, Right.MANAGE_PERMISSIONS)
    hunt = locked_hunt(hunt_id)
    if not hunt.is_past_outing:
        raise HuntError(_("%(hunt_code)s is no past outing; it stays on record.") % {"hunt_code": hunt.code})
    audit.record("hunt.past_removed", hunt, by=by, at=at, on=hunt.on.isoformat())
    hunt.sign_ups.all().delete()
    try:
        hunt.delete()
    except ProtectedError as error:
        raise HuntError(
            _("%(hunt_code)s has finds, tracks or other records by now, so it stays.")
            % {"hunt_code": hunt.code}
        ) from error
