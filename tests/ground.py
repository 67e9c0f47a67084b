"""Walks on the makers' square field, as GPX files and as tracks that are kept."""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

import numpy as np
from django.utils.timezone import localtime, now

from geo.gpx import Gpx, read_gpx
from geo.local import Local
from hunts import actions
from hunts.models import Hunt, Track
from hunts.track_intake import prepare_gpx
from people.models import User

LOCAL = Local(0.1515, 53.6009)  # the middle of tests.make.SQUARE, about 198 by 200 m
PLAN: dict[str, Any] = {
    "coil_cm": "28",
    "overlap_percent": "50",
    "swing_m_s": "0.9144",
    "swath_m": "1.5",
    "spacing_m": "10",
    "heading_deg": "",
    "targets_per_ha": "100",
    "minutes_per_dig": "4",
    "people": "5",
    "hours": "5",
}


def serpentine(
    lanes: int = 10, length_m: float = 160, spacing_m: float = 3, x: float = -80, y: float = -80
) -> Any:
    """Places in metres from the middle of the field at 1 m steps: lanes joined end to end."""
    corners = [
        (x + along, y + lane * spacing_m)
        for lane in range(lanes)
        for along in ((0, length_m) if lane % 2 == 0 else (length_m, 0))
    ]
    points = np.array(corners, dtype=float)
    reach = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    at = np.arange(0, reach[-1])
    return np.column_stack([np.interp(at, reach, points[:, 0]), np.interp(at, reach, points[:, 1])])


def gpx_bytes(
    place_m: Any, *, start: datetime | None, every_s: float = 2.0, name: str = "walk", local: Local = LOCAL
) -> bytes:
    """A GPX 1.1 file with one track; no times for `start=None`."""
    return wrapped(track_xml(place_m, start=start, every_s=every_s, name=name, local=local))


def wrapped(*tracks: str) -> bytes:
    head = '<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="test">'
    return (head + "".join(tracks) + "</gpx>").encode()


def track_xml(
    place_m: Any, *, start: datetime | None, every_s: float = 2.0, name: str = "walk", local: Local = LOCAL
) -> str:
    lon, lat = local.inverse(place_m[:, 0], place_m[:, 1])
    points = []
    for number, (x, y) in enumerate(zip(lon.tolist(), lat.tolist(), strict=True)):
        when = "" if start is None else f"<time>{_utc(start + timedelta(seconds=number * every_s))}</time>"
        points.append(f'<trkpt lat="{y:.7f}" lon="{x:.7f}">{when}</trkpt>')
    return f"<trk><name>{name}</name><trkseg>{''.join(points)}</trkseg></trk>"


def _utc(when: datetime) -> str:
    return when.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def morning(hunt: Hunt, hour: int = 9, minute: int = 30) -> datetime:
    """A time on the hunt's day."""
    return localtime(hunt.begins).replace(hour=hour, minute=minute, second=0, microsecond=0)


def gpx(place_m: Any, **kwargs: Any) -> Gpx:
    return read_gpx(gpx_bytes(place_m, **kwargs))


def track(hunt: Hunt, person: User, place_m: Any = None, **kwargs: Any) -> Track:
    """A kept track of `person`, added by themselves late on the hunt's day."""
    walk = serpentine() if place_m is None else place_m
    values = {"start": morning(hunt), "swath_m": 1.5} | kwargs
    swath_m = values.pop("swath_m")
    prepared = prepare_gpx(hunt, gpx(walk, **values), swath_m=swath_m, accuracy_m=5)
    return actions.add_track(hunt.pk, prepared, by=person, at=now(), client_id=uuid4()).track
