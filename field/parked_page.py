"""What the page of records that need somebody shows: one's own with the ways on, and that others have some."""

from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _

from field.forms import ASKED, BY_TIME
from field.models import PhoneRecord, PhotoUpload, Reason
from hunts.models import Hunt
from people.models import User
from people.rights import Right
from tongue import noop

KINDS = {
    "hole": noop("Hole"),
    "find": noop("Find"),
    "reading": noop("Ground reading"),
    "incident": noop("Incident"),
    "fill": noop("A hole filled"),
    "change": noop("A correction"),
    "track": noop("Part of a track"),
    "sign_out": noop("Sign-out"),
    "unreadable": noop("Not a record"),
}
LET_IN = {Reason.OVER.value, Reason.NOT_STARTED.value}
LET_IN_KINDS = {"hole", "change"}
MOST = 100


def parked_page(user: User) -> dict[str, Any]:
    """One's own records and photographs that wait, and those of others on hunts that one leads or oversees."""
    rows = PhoneRecord.objects.visible_to(user).parked().select_related("hunt", "owner", "let_in_by")
    photos = PhotoUpload.objects.visible_to(user).filter(state=PhotoUpload.State.PARKED)
    own = rows.filter(owner=user)
    others = rows.exclude(owner=user)
    return {
        "own": [_own(row) for row in own[:MOST]],
        "own_more": max(0, own.count() - MOST),
        "others": [_other(row, user) for row in others[:MOST]],
        "others_more": max(0, others.count() - MOST),
        "photos": photos[:MOST],
        "may_send": user.holds(Right.LOG_HOLES),
    }


def _own(row: PhoneRecord) -> dict[str, Any]:
    return {
        "row": row,
        "kind": _(KINDS.get(row.kind, row.kind)),
        "when": when_of(row),
        "says": _says(row),
        "may_correct": may_correct(row),
        "let_in_by": row.let_in_by,
    }


def may_correct(row: PhoneRecord) -> bool:
    return row.hunt is not None and (row.kind in ASKED or row.kind in BY_TIME)


def when_of(row: PhoneRecord) -> datetime | None:
    """The time that the record names, where it can be read."""
    try:
        return datetime.fromisoformat(row.sent["at"])
    except (KeyError, TypeError, ValueError):
        return None


def _says(row: PhoneRecord) -> str:
    """A few words by which its maker knows it again; a place is not among them."""
    data = row.sent.get("data") if isinstance(row.sent, dict) else None
    if not isinstance(data, dict):
        return ""
    said = [
        str(data[name]) for name in ("object_type", "outcome", "kind", "notes", "words") if data.get(name)
    ]
    depth = _("%(data)s cm deep") % {"data": data["depth_cm"]} if data.get("depth_cm") else ""
    return ", ".join(filter(None, [*said, depth]))[:160]


def _other(row: PhoneRecord, user: User) -> dict[str, Any]:
    """That it is there and why it waits, and nothing of what it says."""
    asked = row.reason in LET_IN and row.kind in LET_IN_KINDS and row.let_in_by_id is None
    return {
        "row": row,
        "kind": _(KINDS.get(row.kind, row.kind)),
        "may_let_in": asked and row.hunt is not None and may_let_in(row.hunt, user),
    }


def may_let_in(hunt: Hunt, user: User) -> bool:
    return hunt.leader_id == user.pk or user.holds(Right.RUN_HUNT)
