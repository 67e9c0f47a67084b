"""What a phone is told of each record."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext as _

from field.models import PhoneRecord, Reason
from field.models.record import State
from tongue import noop

PAGES = {
    "hole": "hunts:hole_detail",
    "find": "finds:detail",
    "incident": "finds:incident",
}
WAYS: dict[str, str] = {
    Reason.OVER: noop("Ask the hunt’s leader to let it in."),
    Reason.NOT_STARTED: noop(
        "It is tried again by itself once the hunt is started; later the leader can let it in."
    ),
    Reason.PLACE: noop("Ask the hunt’s leader for a place, then try again."),
    Reason.TIME: noop("Correct the time."),
    Reason.VALUE: noop("Correct it."),
    Reason.BELONGS: noop("See to the record that it belongs to."),
    Reason.HUNT: noop("Ask the hunt’s leader; or leave it out and say why."),
    Reason.UNKNOWN: noop("Record it anew, then leave this out and say why."),
    Reason.FAULT: noop("Try again later."),
}


@dataclass(frozen=True, slots=True)
class Result:
    """One answer: stored, again, parked or waiting. `way_on` is the page where its owner sees to it."""

    client_id: str | None
    state: str
    pk: int | None = None
    label: str = ""
    url: str = ""
    why: str = ""
    way_on: str = ""

    def as_json(self) -> dict[str, Any]:
        """Without what is empty, but for the key and the state."""
        said = {name: getattr(self, name) for name in ("pk", "label", "url", "why", "way_on")}
        return {"client_id": self.client_id, "state": self.state} | {k: v for k, v in said.items() if v}


def result_of(row: PhoneRecord, client_id: UUID | str | None, *, is_new: bool) -> Result:
    """The answer for a row that is settled or parked; `client_id` as the phone sent it."""
    key = str(client_id) if client_id is not None else None
    if row.state == State.PARKED:
        why = f"{row.why} {_(WAYS[row.reason]) if row.reason in WAYS else ''}".strip()
        return Result(key, "parked", url=page_of(row), why=why, way_on=page_of(row))
    state = "stored" if is_new else "again"
    if row.state == State.LEFT_OUT:
        return Result(key, state, why=_("Left out: %(why)s") % {"why": row.left_out_why})
    return Result(key, state, row.made_pk, row.label, page_of(row))


def page_of(row: PhoneRecord) -> str:
    """Where the record is read, or where its owner sees to it."""
    if row.state != State.STORED:
        return f"{reverse('field:parked')}#record-{row.pk}"
    return reverse(PAGES[row.made], args=[row.made_pk]) if row.made in PAGES else ""


def waiting(client_id: UUID) -> Result:
    """What it belongs to has not come: the phone keeps it and sends it again."""
    return Result(
        str(client_id), "waiting", why=_("What it belongs to has not been sent yet; it follows by itself.")
    )


def not_yours(client_id: UUID | str | None) -> Result:
    """A key that somebody else's record has: nothing of it is told."""
    why = _("A record of another account has this key, so it cannot be stored under it. Keep it as a file.")
    return Result(str(client_id) if client_id else None, "parked", why=why)
