"""The envelope of a record from a phone, read into one plain shape. Pure."""

import hashlib
import json
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import NAMESPACE_OID, UUID, uuid5

from django.utils.translation import gettext as _

KINDS = ("hole", "find", "reading", "incident", "fill", "change", "track", "sign_out")
"""In the order in which they are taken: what others belong to comes first."""
SLACK = timedelta(minutes=2)
"""A phone knows the server's time to within the length of an answer's way."""


class BadRecordError(ValueError):
    """A record that cannot be read as one: a sentence with the value and the remedy."""


@dataclass(frozen=True, slots=True)
class Envelope:
    """One record as it was sent. `at` is UTC by the server's clock as far as the phone knew it."""

    client_id: UUID
    kind: str
    hunt: int
    at: datetime
    device_at: datetime
    data: dict[str, Any]

    @property
    def belongs_to(self) -> UUID | None:
        """The key of the record that this one needs to be there first, if any."""
        name = {"find": "hole", "incident": "hole", "fill": "hole", "change": "of"}.get(self.kind)
        return _key(self.data.get(name)) if name else None


def digest_of(raw: Any) -> str:
    """SHA-256 of a JSON value in one spelling: the same content, the same digest."""
    plain = json.dumps(raw, sort_keys=True, separators=(",", ":"), ensure_ascii=False, default=str)
    return hashlib.sha256(plain.encode()).hexdigest()


def key_for(raw: Any, account: str) -> UUID:
    """The key of a record: its own, or one made from its content where it has none that can be read."""
    given = _key(raw.get("client_id")) if isinstance(raw, dict) else None
    return given or uuid5(NAMESPACE_OID, f"{account}:{digest_of(raw)}")


def later_key(client_id: UUID, digest: str) -> UUID:
    """The key of a later wording of a record that was stored already."""
    return uuid5(client_id, digest)


def read_envelope(raw: Any) -> Envelope:
    """Raises BadRecordError for what is no record."""
    if not isinstance(raw, dict):
        raise BadRecordError(
            _("%(shown)s is no record; a record is an object with client_id, kind and hunt.")
            % {"shown": _shown(raw)}
        )
    client_id, kind, data = _key(raw.get("client_id")), raw.get("kind"), raw.get("data")
    if client_id is None:
        raise BadRecordError(
            _("%(shown)s is no UUID; give client_id as one.") % {"shown": _shown(raw.get("client_id"))}
        )
    if kind not in KINDS:
        raise BadRecordError(
            _("%(shown)s is no kind of record; give one of %(kinds)s.")
            % {"shown": _shown(kind), "kinds": ", ".join(KINDS)}
        )
    if not isinstance(data, dict):
        raise BadRecordError(_("%(shown)s is no content; give data as an object.") % {"shown": _shown(data)})
    hunt = raw.get("hunt")
    if not isinstance(hunt, int) or isinstance(hunt, bool) or not 0 < hunt < 2**31:
        raise BadRecordError(
            _("%(shown)s is no hunt; give the number of the hunt.") % {"shown": _shown(hunt)}
        )
    at = read_time(raw.get("at"), "at")
    device_at = read_time(raw.get("device_at"), "device_at") if raw.get("device_at") else at
    return Envelope(client_id, kind, hunt, at, device_at, data)


def read_time(given: Any, name: str) -> datetime:
    """An ISO 8601 time with its offset, in UTC. Raises BadRecordError."""
    try:
        moment = datetime.fromisoformat(given)
        if moment.tzinfo is None or not 1990 <= moment.year <= 2200:
            raise ValueError
        return moment.astimezone(UTC)
    except (TypeError, ValueError, OverflowError) as error:
        example = "2026-03-29T10:15:00Z"
        raise BadRecordError(
            _("%(shown)s is no time for %(name)s; give it like %(example)s.")
            % {"shown": _shown(given), "name": name, "example": example}
        ) from error


def moment_of(sent: Envelope, *, device_now: datetime | None, now: datetime) -> datetime:
    """When it was so, by the server's clock: never later than `now` by a mere difference of clocks.

    Where the time as sent has not come yet, the phone's clock was put right or wrong since it last asked; then the
    time since, by the phone's clock as it is now, says when it was.
    """
    if sent.at <= now:
        return sent.at
    if sent.at <= now + SLACK:
        return now
    since = now - (device_now - sent.device_at) if device_now else sent.at
    return since if since <= now else sent.at


def _key(given: Any) -> UUID | None:
    try:
        return UUID(given) if isinstance(given, str) and len(given) == 36 else None
    except ValueError:
        return None


def _shown(value: Any) -> str:
    """A value fit to print: short, one line. Never asked for a position."""
    words = json.dumps(value, ensure_ascii=False, default=str)
    return words if len(words) <= 60 else f"{words[:57]}…"
