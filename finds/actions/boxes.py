"""Storage boxes: made, read, and objects put in and taken out."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from finds.models import Box, BoxMove, BoxReading, CustodyEntry, Find
from finds.models.custody import OWN
from people import audit
from people.models import User
from people.rights import Right, require
from web.taken import create_once


class BoxError(Exception):
    """An object cannot go into this box; the sentence says which and why."""


@transaction.atomic
def save_box(box_id: int | None, *, by: User, at: datetime, client_id: UUID, **fields: Any) -> Box:
    """Make a box, or change the one with `box_id`. Raises TakenError for a name that another bears."""
    require(by, Right.MOVE_CUSTODY)
    if box_id is None:
        box, made = create_once(Box, unique="name", client_id=client_id, made_at=at, made_by=by, **fields)
        if made:
            audit.record("box.make", box, by=by, at=at)
        return box
    box = Box.objects.select_for_update(of=("self",)).get(pk=box_id)
    for name, value in fields.items():
        setattr(box, name, value)
    box.save(update_fields=[*fields])
    audit.record("box.change", box, by=by, at=at, changed=sorted(fields))
    return box


@transaction.atomic
def read_box(
    box_id: int,
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    on: date,
    humidity_percent: int | None,
    gel_changed: bool,
    notes: str = "",
) -> BoxReading:
    """Keep what the card in the box said on a day, or that its gel was dried or changed. Twice is once."""
    require(by, Right.MOVE_CUSTODY)
    said: dict[str, Any] = {"humidity_percent": humidity_percent, "gel_changed": gel_changed, "notes": notes}
    row, made = create_once(BoxReading, client_id=client_id, box_id=box_id, on=on, at=at, by=by, **said)
    if made:
        audit.record("box.read", row.box, by=by, at=at, percent=humidity_percent, gel=gel_changed)
    return row


@transaction.atomic
def into_box(box_id: int, numbers: Sequence[str], *, by: User, at: datetime) -> list[BoxMove]:
    """Put the finds with these numbers into a box. All or none; one that lies in it already stays.

    Raises BoxError naming numbers that are not there and objects that neither club nor finder holds.
    """
    require(by, Right.MOVE_CUSTODY)
    box = Box.objects.get(pk=box_id)
    if box.retired_on is not None:
        raise BoxError(
            _("%(box_name)s is out of use since %(box_retired_on)s; choose another box.")
            % {"box_name": box.name, "box_retired_on": date_format(box.retired_on, "j M Y")}
        )
    rows = Find.objects.visible_to(by).filter(number__in=numbers).order_by("pk")
    finds = list(rows.select_for_update(of=("self",)))
    if strange := sorted(set(numbers) - {find.number for find in finds}):
        raise BoxError(
            _("There is no find with the number %(strange)s; look at the bag again.")
            % {"strange": ", ".join(strange)}
        )
    return [moved for find in finds if (moved := _into(box, find, by=by, at=at))]


def _into(box: Box, find: Find, *, by: User, at: datetime) -> BoxMove | None:
    last = CustodyEntry.objects.filter(find=find).order_by("-step").first()
    if last is None or last.to_holder not in OWN:
        where = (
            _("with %(last_to_shown)s (%(to_holder)s)")
            % {"last_to_shown": last.to_shown, "to_holder": last.get_to_holder_display().lower()}
            if last
            else _("with nobody yet")
        )
        raise BoxError(
            _(
                "%(find_number)s is %(where)s, so it cannot lie in %(box_name)s. Record that it came "
                "back first."
            )
            % {"find_number": find.number, "where": where, "box_name": box.name}
        )
    step = BoxMove.objects.filter(find=find).order_by("-step").first()
    if step is not None and step.box_id == box.pk:
        return None
    audit.record("box.in", find, by=by, at=at, box=box.name)
    return BoxMove.objects.create(find=find, step=step.step + 1 if step else 1, box=box, at=at, by=by)


def out_of_box(find: Find, *, by: User | None, at: datetime) -> None:
    """Take the locked `find` out of the box it lies in, if it lies in one. Inside the mover's transaction."""
    step = BoxMove.objects.filter(find=find).order_by("-step").first()
    if step is not None and step.box_id is not None:
        BoxMove.objects.create(find=find, step=step.step + 1, box=None, at=at, by=by)


@transaction.atomic
def take_out_of_box(find_id: int, *, by: User, at: datetime) -> None:
    """Take a find out of its box. Twice is once."""
    if not by.holds(Right.MOVE_CUSTODY):
        raise PermissionDenied(
            _("You may not %(move_custody_value)s.") % {"move_custody_value": _(Right.MOVE_CUSTODY.value)}
        )
    find = Find.objects.select_for_update(of=("self",)).get(pk=find_id)
    out_of_box(find, by=by, at=at)
    audit.record("box.out", find, by=by, at=at)
