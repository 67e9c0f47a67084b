"""A person's kit, its settings on a hunt, ground readings, bench tests and care. Everybody writes their own."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any
from uuid import UUID, uuid4

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.formats import date_format
from django.utils.timezone import localdate, localtime
from django.utils.translation import gettext as _

from hunts.actions.incidents import may_record
from hunts.care import OCCASIONS
from hunts.errors import KitError
from hunts.models import BenchTest, CareTick, GroundReading, Hunt, Kit, SetUp
from people import audit
from people.models import User
from people.rights import Right, require
from web.taken import create_once


def _own_kit(kit_id: int, by: User) -> Kit:
    """The kit, locked, if it is `by`'s own."""
    require(by, Right.LOG_HOLES)
    kit: Kit = Kit.objects.select_for_update().get(pk=kit_id)
    if kit.user_id != by.pk:
        raise PermissionDenied(_("This kit belongs to somebody else."))
    return kit


def _kept(made: Any, by: User) -> Any:
    """A row that came twice is returned only to whoever made it."""
    row, is_new = made
    if row.user_id != by.pk:
        raise PermissionDenied(_("This record was made by somebody else."))
    return row, is_new


@transaction.atomic
def add_kit(*, by: User, at: datetime, client_id: UUID, **fields: Any) -> Kit:
    """Add a detector with its coil to one's own kit; the same `client_id` again returns the one that is there."""
    require(by, Right.LOG_HOLES)
    kit, is_new = _kept(create_once(Kit, client_id=client_id, user=by, added_at=at, **fields), by)
    if is_new:
        audit.record("kit.add", kit, by=by, at=at)
    return kit  # type: ignore[no-any-return]


@transaction.atomic
def change_kit(kit_id: int, *, by: User, at: datetime, **fields: Any) -> Kit:
    """Change one's own kit; what was logged with it stays."""
    kit = _own_kit(kit_id, by)
    changed = sorted(name for name, value in fields.items() if getattr(kit, name) != value)
    for name in changed:
        setattr(kit, name, fields[name])
    if changed:
        kit.save(update_fields=changed)
        audit.record("kit.change", kit, by=by, at=at, changed=changed)
    return kit


@transaction.atomic
def retire_kit(kit_id: int, *, by: User, at: datetime) -> Kit:
    """Put a kit away for good, or take it up again; its log is kept."""
    kit = _own_kit(kit_id, by)
    kit.retired_on = None if kit.retired_on else localdate(at)
    kit.save(update_fields=["retired_on"])
    audit.record("kit.retire" if kit.retired_on else "kit.take_up", kit, by=by, at=at)
    return kit


def _check_on_hunt(hunt: Hunt, when: datetime, *, by: User, at: datetime) -> None:
    if not may_record(hunt, by):
        raise PermissionDenied(
            _("You hold no place on %(hunt_code)s; sign up first.") % {"hunt_code": hunt.code}
        )
    if when > at:
        raise KitError(
            _("%(when)s has not come yet; give the time it was so.")
            % {"when": date_format(localtime(when), "j M Y, H:i")}
        )
    if localdate(when) != hunt.on:
        raise KitError(
            _("%(when)s is not the day of %(hunt_code)s (%(hunt_on)s); give a time on that day.")
            % {
                "when": date_format(localtime(when), "j M Y"),
                "hunt_code": hunt.code,
                "hunt_on": date_format(hunt.on, "j M Y"),
            }
        )


@transaction.atomic
def log_set_up(hunt_id: int, *, by: User, at: datetime, client_id: UUID, kit: Kit, **fields: Any) -> SetUp:
    """Write down how a kit is set from `set_at` on; the same `client_id` again is one row.

    Raises KitError for a time that is not on the hunt's day, PermissionDenied for somebody without a place.
    """
    own, hunt = _own_kit(kit.pk, by), Hunt.objects.select_related("leader").get(pk=hunt_id)
    _check_on_hunt(hunt, fields["set_at"], by=by, at=at)
    row, is_new = _kept(create_once(SetUp, client_id=client_id, hunt=hunt, user=by, kit=own, **fields), by)
    if is_new:
        audit.record("set_up.log", row, by=by, at=at, hunt=hunt.code)
    return row  # type: ignore[no-any-return]


@transaction.atomic
def change_set_up(set_up_id: int, *, by: User, at: datetime, kit: Kit, **fields: Any) -> SetUp:
    """Change one's own set-up, also after the hunt: the battery at the end is known only then."""
    own = _own_kit(kit.pk, by)
    row: SetUp = (
        SetUp.objects.select_for_update(of=("self",)).select_related("hunt__leader").get(pk=set_up_id)
    )
    if row.user_id != by.pk:
        raise PermissionDenied(_("This set-up belongs to somebody else."))
    _check_on_hunt(row.hunt, fields["set_at"], by=by, at=at)
    row.kit = own
    for name, value in fields.items():
        setattr(row, name, value)
    row.save()
    audit.record("set_up.change", row, by=by, at=at, hunt=row.hunt.code)
    return row


@transaction.atomic
def log_ground(
    hunt_id: int, *, by: User, at: datetime, client_id: UUID, kit: Kit, **fields: Any
) -> GroundReading:
    """Keep a ground reading with its kind of ground and its own scale; raises as `log_set_up` does."""
    own, hunt = _own_kit(kit.pk, by), Hunt.objects.select_related("leader").get(pk=hunt_id)
    _check_on_hunt(hunt, fields["read_at"], by=by, at=at)
    made = create_once(GroundReading, client_id=client_id, hunt=hunt, user=by, kit=own, **fields)
    row, is_new = _kept(made, by)
    if is_new:
        audit.record("ground.read", row, by=by, at=at, hunt=hunt.code, environment=row.environment)
    return row  # type: ignore[no-any-return]


@transaction.atomic
def log_bench(kit_id: int, *, by: User, at: datetime, client_id: UUID, **fields: Any) -> BenchTest:
    """Keep one pass of the bench test; raises KitError where readings are given for what was not heard."""
    kit = _own_kit(kit_id, by)
    if not fields["heard"] and any(fields.get(name) is not None for name in ("first", "second", "third")):
        raise KitError(
            _("It was not heard, yet there are readings; tick heard, or leave the readings empty.")
        )
    made = create_once(BenchTest, client_id=client_id, user=by, kit=kit, tested_at=at, **fields)
    row, is_new = _kept(made, by)
    if is_new:
        audit.record("bench.log", row, by=by, at=at, label=f"{kit}: {row.item}")
    return row  # type: ignore[no-any-return]


@transaction.atomic
def tick_care(
    kit_id: int, *, by: User, at: datetime, occasion: str, since: date, tasks: Iterable[str], done_on: date
) -> int:
    """Tick tasks of a care checklist; a task ticked before stays as it was. Returns how many are new.

    Raises KitError for a day that has not come or lies before the list was due, and for a task not on the list.
    """
    kit = _own_kit(kit_id, by)
    known = {task.code for task in OCCASIONS[occasion]}
    if done_on > localdate(at) or done_on < since:
        raise KitError(
            _("%(done_on)s is outside %(since)s to today; give the day on which it was done.")
            % {"done_on": date_format(done_on, "j M Y"), "since": date_format(since, "j M Y")}
        )
    fresh = set(tasks) - set(
        CareTick.objects.filter(kit=kit, occasion=occasion, since=since).values_list("task", flat=True)
    )
    if unknown := fresh - known:
        raise KitError(_("“%(min)s” is not on the list; tick what the list shows.") % {"min": min(unknown)})
    for task in sorted(fresh):
        CareTick.objects.create(
            client_id=uuid4(), user=by, kit=kit, occasion=occasion, since=since, task=task, done_on=done_on
        )
    if fresh:
        audit.record("kit.care", kit, by=by, at=at, occasion=occasion, done=sorted(fresh))
    return len(fresh)
