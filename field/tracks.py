"""A part of a track from a phone: points with their second, gaps where it slept."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from django.utils.translation import gettext as _

from field.envelope import BadRecordError
from field.errors import NotNeededError
from geo.gpx import Line
from geo.track import TrackError
from hunts.models import Hunt
from hunts.plan_page import plan_of
from hunts.track_intake import PreparedTrack, prepare_track

MOST_POINTS = 2000
ACCURACY_M = (1.0, 50.0)
"""A fix finer or coarser than this is counted as this: the receivers of phones are neither."""


def track(hunt: Hunt, data: Mapping[str, Any], *, clock_s: float = 0.0) -> PreparedTrack:
    """The walk, cleaned on the hunt's ground. `clock_s` is added to the phone's seconds: what its clock is out by.

    Raises BadRecordError, GeoError; NotNeededError where nothing of it lies on this ground and day.
    """
    points = _points(data.get("points"))
    lines = _lines(points, _gaps(data.get("gaps")))
    for line in lines:
        line.time_s[:] += clock_s
    accuracy_m = float(np.clip(np.nanmedian(points[:, 3]), *ACCURACY_M))
    try:
        return prepare_track(hunt, lines, swath_m=plan_of(hunt).swath_m, accuracy_m=accuracy_m)
    except TrackError as error:
        raise NotNeededError(str(error)) from error


def _points(given: Any) -> Any:
    """An array of second, latitude, longitude and accuracy, in order of time."""
    if not isinstance(given, list) or not 0 < len(given) <= MOST_POINTS:
        count = len(given) if isinstance(given, list) else _("no list of")
        raise BadRecordError(
            _("%(count)s points cannot be read; give 1 to %(most_points)s in a part.")
            % {"count": count, "most_points": MOST_POINTS}
        )
    rows = [_point(each, number) for number, each in enumerate(given, 1)]
    points = np.array(rows, dtype=float)
    if np.isnan(points[:, 3]).all():
        points[:, 3] = 5.0
    return points[np.argsort(points[:, 0], kind="stable")]


def _point(given: Any, number: int) -> tuple[float, float, float, float]:
    if not isinstance(given, list) or len(given) != 4:
        raise BadRecordError(
            _("Point %(number)s cannot be read; give [second, lat, lon, accuracy].") % {"number": number}
        )
    second, lat, lon, accuracy_m = (
        np.nan if each is None and n == 3 else each for n, each in enumerate(given)
    )
    if not all(isinstance(each, int | float) for each in (second, lat, lon, accuracy_m)):
        raise BadRecordError(_("Point %(number)s holds something that is no number.") % {"number": number})
    if not (abs(lat) <= 90 and abs(lon) <= 180 and 0 < second < 1e11):
        raise BadRecordError(
            _("Point %(number)s lies nowhere: give seconds since 1970, degrees north and east.")
            % {"number": number}
        )
    return float(second), float(lat), float(lon), float(accuracy_m)


def _gaps(given: Any) -> Sequence[float]:
    """The seconds at which gaps begin."""
    if given is None:
        return []
    try:
        return sorted(float(begins) for begins, _rest in given)
    except (TypeError, ValueError) as error:
        raise BadRecordError(_("The gaps cannot be read; give pairs of seconds, from and to.")) from error


def _lines(points: Any, gaps: Sequence[float]) -> list[Line]:
    """A line for each stretch between gaps."""
    cuts = np.searchsorted(points[:, 0], np.array(gaps, dtype=float), side="right")
    stretches = np.split(points, np.unique(cuts[(cuts > 0) & (cuts < len(points))]))
    return [
        Line("phone", part[:, [2, 1]].copy(), part[:, 0].copy(), np.full(len(part), np.nan))
        for part in stretches
    ]
