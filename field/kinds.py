"""Each kind of record: read, judged by the form that a page would use, and made ready for the action that stores it.

Everything here happens before the transaction; what comes back is the one call that writes.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Model
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from field.bind import coin_of, filled_in, materials_of, place_of
from field.changes import change
from field.envelope import BadRecordError, Envelope
from field.errors import NotNeededError
from field.owners import hole_of
from field.tracks import track
from finds import actions as finds
from finds.forms import FindForm
from hunts import actions as hunts
from hunts.forms import HoleForm, IncidentForm
from hunts.forms.kit import GroundReadingForm
from hunts.models import Hole, Hunt, Kit
from hunts.placing import judge
from people.models import User

Write = Callable[[], Model]


@dataclass(frozen=True, slots=True)
class Coming:
    """A record on its way in: who sends it, to which hunt, when it was so, and when it is now."""

    sent: Envelope
    hunt: Hunt
    by: User
    moment: datetime
    at: datetime
    let_in_by: User | None = None

    @property
    def day_is_right(self) -> bool:
        return localdate(self.moment) == self.hunt.on and self.moment <= self.at

    @property
    def context(self) -> dict[str, Any]:
        """What forms of a hunt are made with."""
        return {"hunt": self.hunt, "by": self.by, "at": self.at}


def ready(coming: Coming) -> Write:
    """The call that stores this record. Raises what field.errors names, and nothing is written."""
    return READERS[coming.sent.kind](coming)


def _hole(coming: Coming) -> Write:
    data, by = coming.sent.data, coming.by
    place = place_of(data)
    said = {name: data.get(name) for name in ("depth_cm", "outcome", "stopped_for", "target_id", "notes")}
    said |= place | {
        "client_id": coming.sent.client_id,
        "site": data.get("site") or _site_at(coming.hunt, place),
        "digger": by.pk,
        "dug_at": coming.moment.isoformat(),
        "ground": data.get("ground") or "other",
        "filled": data.get("filled") is True,
    }
    form = filled_in(HoleForm(**coming.context), said)
    fields = form.asked() | form.record_fields()
    late: dict[str, Any] = {"filled_at": coming.moment, "let_in_by": coming.let_in_by}
    return lambda: hunts.log_hole(coming.hunt.pk, by=by, at=coming.at, **late, **fields)


def _site_at(hunt: Hunt, place: dict[str, Any]) -> int | None:
    """The hunt's one site, or that in which the fix lies deepest (metres inside are negative), or None."""
    sites = list(hunt.sites.all())
    columns: dict[str, Any] = {
        "lon": place.get("device_lon"),
        "lat": place.get("device_lat"),
        "accuracy_m": 0.0,
    }
    if len(sites) == 1 or columns["lon"] is None:
        return sites[0].pk if len(sites) == 1 else None
    if not (abs(columns["lon"]) <= 180 and abs(columns["lat"]) <= 90):
        return None
    judged = [(each.distance_m, site.pk) for site in sites if (each := judge(hunt, site, columns))]
    return min(judged)[1] if judged else None


def _find(coming: Coming) -> Write:
    data, by = coming.sent.data, coming.by
    hole = hole_of(coming.sent, by, coming.hunt)
    place = place_of(data)
    said: dict[str, Any] = {
        name: data[name] for name in ("object_type", "count", "circumstances", "no_precious") if name in data
    }
    said |= _from_hole(hole, place) | {
        "client_id": coming.sent.client_id,
        "site": hole.site_id if hole else data.get("site") or _site_at(coming.hunt, place),
        "hole": hole.pk if hole else None,
        "finder": by.pk,
        "found_at": coming.moment.isoformat(),
        "is_coin": coin_of(data.get("coin")),
        "materials": materials_of(data.get("materials")),
        "depth_cm": data.get("depth_cm") or (hole.depth_cm if hole else None),
        "description": data.get("notes"),
    }
    form = filled_in(FindForm(**coming.context), said)
    fields = {"materials": form.cleaned_data["materials_found"], **form.record_fields()}
    key = form.cleaned_data["client_id"]
    return lambda: finds.record_find(coming.hunt.pk, by=by, at=coming.at, client_id=key, **fields)


def _from_hole(hole: Hole | None, place: dict[str, Any]) -> dict[str, Any]:
    """A find without a place of its own lay where its hole was dug."""
    if hole is None or not hole.is_fixed or place["position_text"] or "device_lat" in place:
        return place
    fix = {"device_lat": hole.lat, "device_lon": hole.lon, "device_accuracy_m": hole.accuracy_m}
    return place | fix | {"position_method": hole.position_method or "device"}


def _reading(coming: Coming) -> Write:
    data, by = coming.sent.data, coming.by
    own = data.get("kit") if isinstance(data.get("kit"), int) else 0
    kit = Kit.objects.visible_to(by).filter(pk=own).first()
    said = {name: data.get(name) for name in ("environment", "value", "kit", "notes")} | {
        "client_id": coming.sent.client_id,
        "scale": data.get("scale") or (kit.ground_scale if kit else ""),
        "read_at": coming.moment.isoformat(),
    }
    form = filled_in(GroundReadingForm(**coming.context), said)
    key, fields = form.cleaned_data["client_id"], form.record_fields()
    return lambda: hunts.log_ground(coming.hunt.pk, by=by, at=coming.at, client_id=key, **fields)


def _incident(coming: Coming) -> Write:
    data, hunt = coming.sent.data, coming.hunt
    hole = hole_of(coming.sent, coming.by, hunt)
    said = (
        {name: data.get(name) for name in ("kind", "words", "told")}
        | place_of(data)
        | {
            "client_id": coming.sent.client_id,
            "happened_at": coming.moment.isoformat(),
        }
    )
    form = filled_in(IncidentForm(**coming.context), said)
    key, fields = form.cleaned_data["client_id"], form.record_fields() | ({"hole": hole} if hole else {})
    return lambda: hunts.add_incident(hunt, by=coming.by, at=coming.at, client_id=key, **fields)


def _fill(coming: Coming) -> Write:
    hole = hole_of(coming.sent, coming.by, coming.hunt)
    if coming.sent.belongs_to is None:
        raise BadRecordError(_("No hole is named; give the key of the hole that was filled."))
    if hole is None:
        raise NotNeededError(_("The hole was left out."))
    when = max(coming.moment, hole.dug_at)
    return lambda: hunts.fill_hole(hole.pk, by=coming.by, at=coming.at, filled_at=when)


def _sign_out(coming: Coming) -> Write:
    words = coming.sent.data.get("words")
    if words is not None and not isinstance(words, str):
        raise BadRecordError(_("words cannot be read; say in words why holes stay open."))
    when = {"at": coming.at, "left_at": coming.moment}
    return lambda: hunts.sign_myself_out(coming.hunt.pk, by=coming.by, unfilled_why=words or "", **when)


def _track(coming: Coming) -> Write:
    sent = coming.sent
    prepared = track(coming.hunt, sent.data, clock_s=(sent.at - sent.device_at).total_seconds())
    key = sent.client_id
    return lambda: hunts.add_track(coming.hunt.pk, prepared, by=coming.by, at=coming.at, client_id=key).track


def _change(coming: Coming) -> Write:
    return change(coming.sent, by=coming.by, at=coming.at, let_in_by=coming.let_in_by)


READERS: dict[str, Callable[[Coming], Write]] = {
    "hole": _hole,
    "find": _find,
    "reading": _reading,
    "incident": _incident,
    "fill": _fill,
    "change": _change,
    "track": _track,
    "sign_out": _sign_out,
}
