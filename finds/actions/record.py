"""Record, change and withdraw a find; each ends with a screening."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from finds.actions.custody import first_holder, leave_waiting
from finds.actions.drills import withdraw_stops
from finds.actions.groups import leave_withdrawn, one_at_a_time
from finds.actions.photos import PreparedPhoto, attach
from finds.actions.screening import screen_find
from finds.actions.screening_many import screen_recorded
from finds.actions.suggest import suggest_first, suggest_pairs
from finds.described import Materials, completed, material_rows
from finds.models import Find, FindMaterial
from finds.numbers import next_number
from finds.squares import COLUMNS, map_columns
from hunts.models import Hunt, SignUp
from law.facts import FindFacts
from people import audit
from people.models import User
from people.rights import Right, require
from web.once import made_before


class FindDateError(Exception):
    """The find is dated outside its hunt or in the future."""


class NotOnHuntError(PermissionDenied):
    """The finder holds no place on the hunt."""


@transaction.atomic
def record_find(
    hunt_id: int,
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    materials: Materials,
    photos: Iterable[PreparedPhoto] = (),
    **fields: Any,
) -> Find:
    """Record a find of a hunt: number, materials, photographs, custody, screening, in one transaction.

    `materials` maps material (of the list, or in words) to its share in per cent, or None. What follows from the
    words (finds/described.py) is filled in. Sending the same `client_id` again returns the find that is there.
    Raises FindDateError, NotOnHuntError, PermissionDenied.
    """
    require(by, Right.LOG_HOLES)
    hunt = Hunt.objects.select_for_update(of=("self",)).get(pk=hunt_id)  # one form twice at once waits here
    there = made_before(Find.objects.all(), client_id)
    if there is not None:
        return own(there, by)
    standing = SignUp.objects.people_on(hunt.pk).filter(user=fields["finder"])
    check_may_record(hunt, by, fields["finder"], standing=standing)
    check_date(hunt, fields["found_at"], at=at)
    row, number = next_number(localtime(fields["found_at"]).year, at=at)
    find = Find.objects.create(
        client_id=client_id,
        hunt=hunt,
        number_row=row,
        number=number,
        recorded_at=at,
        recorded_by=by,
        **(fields | completed(fields, fields["site"].jurisdiction) | _on_map(fields)),
    )
    FindMaterial.objects.bulk_create(material_rows(find, materials))
    attach(find, photos, by=by, at=at)
    first_holder(find, by=by, at=at)
    audit.record("find.record", find, by=by, at=at)
    suggest_first(screen_recorded(find))
    return find


def own(there: Find, by: User) -> Find:
    """The find that `by` sends once more. Raises PermissionDenied for somebody else's."""
    if there.recorded_by_id != by.pk:
        raise PermissionDenied(_("This record was made by somebody else."))
    return there


def check_may_record(hunt: Hunt, by: User, finder: User, *, standing: Iterable[int]) -> None:
    """The finder, the hunt's leader or somebody who sees every find; the finder must have been on the hunt.

    `standing`: the keys of those who hold a place.
    """
    if by.pk != finder.pk and by.pk != hunt.leader_id and not by.holds(Right.SEE_ALL_FINDS):
        raise PermissionDenied(_("You may record your own finds, and those of hunts you lead."))
    if finder.pk != hunt.leader_id and finder.pk not in standing:
        raise NotOnHuntError(
            _("%(finder_name)s is not signed up for %(hunt_code)s; sign up first, then record the find.")
            % {"finder_name": finder.name, "hunt_code": hunt.code}
        )


def check_date(hunt: Hunt, found_at: datetime, *, at: datetime) -> None:
    day = localtime(found_at).date()
    if found_at > at:
        raise FindDateError(
            _("%(found_at)s has not come yet; give the time when it was found.")
            % {"found_at": date_format(localtime(found_at), "j M Y H:i")}
        )
    if day != hunt.on:
        raise FindDateError(
            _(
                "%(day)s is not the day of %(hunt_code)s (%(hunt_on)s); give that day, or record the "
                "find on the hunt it belongs to."
            )
            % {
                "day": date_format(day, "j M Y"),
                "hunt_code": hunt.code,
                "hunt_on": date_format(hunt.on, "j M Y"),
            }
        )


def _on_map(fields: Mapping[str, Any]) -> dict[str, Any]:
    return map_columns(fields.get("lon"), fields.get("lat"), fields["site"].country)


def _put_materials(find: Find, materials: Materials) -> None:
    find.materials.all().delete()
    FindMaterial.objects.bulk_create(material_rows(find, materials))


def _locked_for_change(find_id: int, by: User) -> Find:
    one_at_a_time()  # the change may lock the rest of the find's group
    find = Find.objects.select_for_update(of=("self",)).select_related("hunt", "site").get(pk=find_id)
    if by.pk not in {find.finder_id, find.hunt.leader_id} and not by.holds(Right.SEE_ALL_FINDS):
        raise PermissionDenied(
            _("Only the finder, the hunt's leader, the secretary and the committee change a find.")
        )
    return find


@transaction.atomic
def change_find(
    find_id: int,
    *,
    by: User,
    at: datetime,
    materials: Materials,
    photos: Iterable[PreparedPhoto] = (),
    taken_back_why: str = "",
    **fields: Any,
) -> Find:
    """Change a record and screen it again.

    Raises FindDateError when the new time is outside the hunt, DrillStandsError when an answer that had stopped
    everything is gone without `taken_back_why`.
    """
    require(by, Right.LOG_HOLES) if not by.holds(Right.SEE_ALL_FINDS) else None
    find = _locked_for_change(find_id, by)
    if "found_at" in fields:
        check_date(find.hunt, fields["found_at"], at=at)
    fields |= completed(fields, fields.get("site", find.site).jurisdiction, find)
    fields |= _on_map({name: getattr(find, name) for name in ("lon", "lat", "site")} | fields)
    changed = [name for name, value in fields.items() if getattr(find, name) != value]
    for name in changed:
        setattr(find, name, fields[name])
    find.save(update_fields=[*changed, "locked"])
    _put_materials(find, materials)
    attach(find, photos, by=by, at=at)
    hidden = {"lon", "lat", "position_text", *COLUMNS}
    audit.record("find.change", find, by=by, at=at, changed=sorted(set(changed) - hidden))
    withdraw_stops(find, FindFacts.from_dict(find.facts), by=by, at=at, why=taken_back_why)
    screen_find(find, by=by, at=at)
    suggest_pairs(find, at=at)
    return find


@transaction.atomic
def answer_facts(
    find_id: int, *, by: User, at: datetime, answers: dict[str, Any], taken_back_why: str = ""
) -> Find:
    """Keep the answers to the law's questions (law.facts fields as plain values) and screen again.

    Raises DrillStandsError when an answer that had stopped everything is gone without `taken_back_why`.
    """
    require(by, Right.LOG_HOLES) if not by.holds(Right.SEE_ALL_FINDS) else None
    find = _locked_for_change(find_id, by)
    changed = sorted(k for k in {*answers, *find.facts} if answers.get(k) != find.facts.get(k))
    find.facts = answers
    find.save(update_fields=["facts"])
    audit.record("find.answer", find, by=by, at=at, changed=changed)
    withdraw_stops(find, FindFacts.from_dict(answers), by=by, at=at, why=taken_back_why)
    screen_find(find, by=by, at=at)
    return find


@transaction.atomic
def withdraw_find(find_id: int, *, by: User, at: datetime, why: str) -> Find:
    """Take a record back that should not exist. Its number stays used, with the reason.

    Raises PermissionDenied for a find under a case: that has to be ended by the committee first.
    """
    one_at_a_time()
    find = Find.objects.select_for_update(of=("self",)).select_related("hunt", "number_row").get(pk=find_id)
    if by.pk != find.finder_id:
        require(by, Right.VOID_FINDS)
    if find.locked:
        raise PermissionDenied(
            _("%(find_number)s is under a possible duty or a stop; the committee has to end the case first.")
            % {"find_number": find.number}
        )
    if find.withdrawn_at is None:
        find.withdrawn_at = at
        find.save(update_fields=["withdrawn_at"])
        row = find.number_row
        row.void_why, row.void_at, row.void_by = why, at, by
        row.save(update_fields=["void_why", "void_at", "void_by"])
        audit.record("find.withdraw", find, by=by, at=at, why=why)
        leave_withdrawn(find, by=by, at=at, why=why)
        leave_waiting(find, by=by, at=at, why=_("The record was withdrawn: %(why)s") % {"why": why})
        suggest_pairs(find, at=at)
    return find
