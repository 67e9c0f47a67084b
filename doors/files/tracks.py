"""Tracks as a collection for files alone; the open interface gives the ground that they covered.

A track stops where somebody dug. One's own and those of hunts that one led are given; all others only of hunts without
anything locked.
"""

from datetime import datetime
from typing import Any

from django.db.models import Exists, OuterRef, Q
from django.utils.translation import gettext_lazy as _lazy

from doors.feature import DRAWN, UNKNOWN, Box, Extent, Feature, Property
from doors.rows.base import TableRows
from finds.models import Find
from geo.measure import to_shape
from hunts.models import Hole, Track
from people.models import User
from people.rights import Right

PROPERTIES = {
    "hunt": Property("string", _lazy("Hunt code"), lookup="hunt__code"),
    "person": Property("string", _lazy("Whose track")),
    "on": Property("string", _lazy("Date"), format="date"),
    "length_m": Property("number", _lazy("Length"), unit="m"),
    "seconds": Property("number", _lazy("Time moving"), _lazy("Stops apart; empty without times."), unit="s"),
    "swath_m": Property("number", _lazy("Width swept"), unit="m"),
    "accuracy_m": Property("number", _lazy("Accuracy"), _lazy("As its walker gave it."), unit="m"),
    "precision": Property("string", _lazy("Precision"), _lazy("The line as it is drawn, thinned for maps.")),
}


class TrackRows(TableRows):
    """Every track whose line the reader may have."""

    moment = "added_at"
    most = 200

    def visible_to(self, user: User) -> Any:
        rows = Track.objects.visible_to(user).select_related("hunt", "user").defer("trace", "notes")
        if user.holds(Right.SEE_LOCKED_FINDSPOTS):
            return rows
        locked = Hole.objects.filter(hunt=OuterRef("hunt"), locked=True)
        kept = Find.objects.filter(hunt=OuterRef("hunt"), locked=True, withdrawn_at__isnull=True)
        return rows.filter(Q(user=user) | Q(hunt__leader=user) | (~Exists(locked) & ~Exists(kept)))

    def within(self, rows: Any, box: Box, user: User) -> Any:
        """No box is asked of tracks: files hold them by hunt."""
        raise NotImplementedError

    def shown(self, rows: Any, user: User, *, at: datetime) -> list[Feature]:
        return [_feature(track) for track in rows]

    def extent(self, user: User) -> Extent:
        return Extent(None, *self.times(self.visible_to(user)))


def _feature(track: Track) -> Feature:
    shape = to_shape(track.line) if track.line else None
    said = {
        "hunt": track.hunt.code,
        "person": track.user.name,
        "on": track.hunt.on,
        "length_m": round(track.length_m, 1),
        "seconds": track.seconds,
        "swath_m": track.swath_m,
        "accuracy_m": track.accuracy_m,
        "precision": UNKNOWN if shape is None else DRAWN,
    }
    return Feature(str(track.pk), shape, said)
