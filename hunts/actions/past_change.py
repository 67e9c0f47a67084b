"""Correct an outing that was entered from older records; what other records rest on stays and says why."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime, time
from typing import Any
from uuid import uuid4

from django.db import models, transaction
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from hunts.actions.locks import locked_hunt
from hunts.actions.past import check_past, whole_day, with_leader
from hunts.errors import HuntError
from hunts.models import Hunt, HuntSite, SignUp
from hunts.past_ground import boundary_then
from hunts.past_ties import Tied, follow_day, tied
from hunts.states import SignUpState
from people import audit
from people.models import User
from people.rights import Right, require
from permissions.models import Site

WORDS = frozenset({"title", "past_why"})
"""Free text may name a landholder: the trail says that it changed, not what it was."""


@transaction.atomic
def correct_past_outing(
    hunt_id: int, sites: Sequence[Site], people: Iterable[User], *, by: User, at: datetime, **fields: Any
) -> Hunt:
    """Make a past outing say `fields` (those of hunts/forms/past.py), `sites` and `people`; its code stays.

    On another day its finds follow, each judged anew by the law of that day, and its sites take their boundary of
    then. The same again changes nothing. Raises HuntError for any other hunt, what enter_past_outing refuses, and
    what has to stay (hunts/past_ties.py), with the reason.
    """
    require(by, Right.MANAGE_PERMISSIONS)
    hunt = locked_hunt(hunt_id)
    if not hunt.is_past_outing:
        raise HuntError(
            _("%(hunt_code)s is no past outing; change it on its own page.") % {"hunt_code": hunt.code}
        )
    fields |= whole_day(fields)
    before = {name: getattr(hunt, name) for name in fields}
    changed = [name for name in fields if before[name] != fields[name]]
    stays = tied(hunt)
    _check_tied(stays, changed)
    check_past(fields["on"], fields["permission"], sites, today=localdate(at))
    said = {name: [_plain(before[name]), _plain(fields[name])] for name in changed if name not in WORDS}
    said |= _put_sites(hunt, sites, stays)
    said |= _put_people(hunt, with_leader(people, fields["leader"]), stays, at=at)
    if not changed and not said:
        return hunt
    _write(hunt, fields, moved="on" in changed or "sites" in said)
    audit.record("hunt.past_change", hunt, by=by, at=at, changed=sorted({*changed, *said}), values=said)
    if "on" in changed:
        follow_day(hunt, by=by, at=at)
    return hunt


def _write(hunt: Hunt, fields: dict[str, Any], *, moved: bool) -> None:
    for name, value in fields.items():
        setattr(hunt, name, value)
    hunt.capacity = hunt.sign_ups.standing().count()
    if moved:
        # The key of an outing that came with a table of finds is made of its day and field (finds/import_outings.py):
        # it is free now for another table that speaks of them.
        hunt.client_id = uuid4()
        for row in hunt.hunt_sites.select_related("site"):
            row.boundary = boundary_then(row.site, hunt.on)
            row.save(update_fields=["boundary"])
    hunt.save(update_fields=[*fields, "capacity", "client_id"])


def _check_tied(stays: Tied, changed: Sequence[str]) -> None:
    for name in changed:
        if name in stays.fields:
            label = getattr(Hunt._meta.get_field(name), "verbose_name", name)
            raise HuntError(f"{label}: {stays.fields[name]}")


def _plain(value: Any) -> Any:
    """A value as the trail keeps it: people and permissions by their key, no name."""
    if isinstance(value, models.Model):
        return value.pk
    return value.isoformat() if isinstance(value, (date, time)) else value


def _put_sites(hunt: Hunt, sites: Sequence[Site], stays: Tied) -> dict[str, Any]:
    there = {row.site_id: row for row in hunt.hunt_sites.select_related("site")}
    gone = [row for key, row in there.items() if key not in {site.pk for site in sites}]
    new = [site for site in sites if site.pk not in there]
    if (gone or new) and "sites" in stays.fields:
        raise HuntError(_("Sites: %(why)s") % {"why": stays.fields["sites"]})
    for row in gone:
        if row.site_id in stays.sites:
            raise HuntError(f"{row.site}: {stays.sites[row.site_id]}")
        row.delete()
    for site in new:
        HuntSite.objects.create(hunt=hunt, site=site, boundary=boundary_then(site, hunt.on))
    codes = sorted(row.site.code for row in there.values()), sorted(site.code for site in sites)
    return {"sites": list(codes)} if gone or new else {}


def _put_people(hunt: Hunt, people: dict[int, User], stays: Tied, *, at: datetime) -> dict[str, Any]:
    there = {up.user_id: up for up in hunt.sign_ups.standing().select_related("user")}
    gone = [up for key, up in there.items() if key not in people]
    for up in gone:
        if up.user_id in stays.people:
            raise HuntError(stays.people[up.user_id] % {"name": up.user.name})
        up.delete()
    new = [person for key, person in people.items() if key not in there]
    for person in new:
        SignUp.objects.create(client_id=uuid4(), hunt=hunt, user=person, state=SignUpState.IN, asked_at=at)
    return {"people": [sorted(there), sorted(people)]} if gone or new else {}
