"""Correct a record that was stored already: what is said changes, the rest stays as it is."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.db.models import Model
from django.utils.translation import gettext as _

from field.bind import coin_of, filled_in, materials_of, place_of
from field.envelope import BadRecordError, Envelope
from field.errors import NotNeededError, NotStoredError
from field.models import Reason
from field.owners import changed_of
from finds import actions as finds
from finds.forms import FindForm
from finds.models import Find
from hunts import actions as hunts
from hunts.forms import HoleForm
from hunts.models import Hole
from hunts.models.hole import Outcome
from hunts.states import HoleState
from people.models import User
from tongue import noop

OF_HOLE = ("depth_cm", "outcome", "stopped_for", "target_id", "notes", "ground", "site")
OF_FIND = ("object_type", "count", "circumstances", "no_precious", "depth_cm")
FIXED = noop(
    "This kind of record stays as it was first stored. Record it anew with a word about it, and leave this out."
)


def change(sent: Envelope, *, by: User, at: datetime, let_in_by: User | None) -> Callable[[], Model]:
    """The call that changes a hole or a find. Raises what field.errors names."""
    fields = sent.data.get("fields")
    if not isinstance(fields, dict) or sent.belongs_to is None:
        raise BadRecordError(
            _("The change cannot be read; give the key of the record and the fields that change.")
        )
    row = changed_of(sent, by)
    if row is None:
        raise NotNeededError(_("The record that it changes was left out."))
    if isinstance(row, Hole):
        return _hole(row, fields, by=by, at=at, let_in_by=let_in_by)
    if isinstance(row, Find):
        return _find(row, fields, by=by, at=at)
    raise NotStoredError(Reason.VALUE, _(FIXED))


def _place(fields: dict[str, Any]) -> dict[str, Any]:
    """A place only where one was said: the one that is kept stays else."""
    said = fields.get("position") is not None or fields.get("text")
    return place_of(fields) if said else {"outside_is_right": True}


def _hole(
    hole: Hole, fields: dict[str, Any], *, by: User, at: datetime, let_in_by: User | None
) -> Callable[[], Model]:
    said: dict[str, Any] = {name: fields[name] for name in OF_HOLE if name in fields} | _place(fields)
    said |= {"dug_at": hole.dug_at.isoformat(), "site": said.get("site") or hole.site_id}
    form = filled_in(HoleForm(instance=hole, hunt=hole.hunt, by=by, at=at), said)
    changed = form.asked() | form.record_fields()
    fills = (
        fields.get("filled") is True and hole.state == HoleState.DUG and changed["outcome"] != Outcome.STOPPED
    )

    def write() -> Model:
        row = hunts.change_hole(hole.pk, by=by, at=at, let_in_by=let_in_by, **changed)
        return hunts.fill_hole(hole.pk, by=by, at=at) if fills else row

    return write


def _find(find: Find, fields: dict[str, Any], *, by: User, at: datetime) -> Callable[[], Model]:
    said: dict[str, Any] = {name: fields[name] for name in OF_FIND if name in fields} | _place(fields)
    said["found_at"] = find.found_at.isoformat()
    if "coin" in fields:
        said["is_coin"] = coin_of(fields["coin"])
    if "materials" in fields:
        said["materials"] = materials_of(fields["materials"])
    if "notes" in fields:
        said["description"] = fields["notes"]
    form = filled_in(FindForm(instance=find, hunt=find.hunt, by=by, at=at), said)
    changed = {"materials": form.cleaned_data["materials_found"], **form.record_fields()}
    return lambda: finds.change_find(find.pk, by=by, at=at, **changed)
