"""Where a person walked on a hunt, and the ground it covered on each of the hunt's sites."""

from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from people.models import User
from people.rights import Right
from web.once import OnceModel


class TrackQuerySet(models.QuerySet["Track"]):
    def visible_to(self, user: User) -> Self:
        """One's own, those of hunts that one leads, and all for those who see every hole.

        A track stops where somebody dug: to others it would point at a locked find.
        """
        if user.holds(Right.SEE_ALL_HOLES):
            return self
        return self.filter(Q(user=user) | Q(hunt__leader=user)) if user.roles else self.none()


class Track(OnceModel):
    """One cleaned track. `sha256` is the fingerprint of its points, so that the same file is known again."""

    hunt = models.ForeignKey("hunts.Hunt", on_delete=models.PROTECT, related_name="tracks")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="tracks")
    sha256 = models.CharField(max_length=64)
    line: Any = models.JSONField()  # GeoJSON MultiLineString, WGS84, thinned for the map
    trace = models.BinaryField(default=bytes)  # every point on this ground with its second: hunts/trace.py
    points = models.PositiveIntegerField()
    length_m = models.FloatField()
    seconds = models.FloatField(null=True)  # moving, stops apart; null without times
    swath_m = models.FloatField(default=1.5)
    accuracy_m = models.FloatField(default=5.0)
    outside_points = models.PositiveIntegerField(default=0)
    no_go_points = models.PositiveIntegerField(default=0)
    added_at = models.DateTimeField()
    added_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    notes: Any = models.JSONField(default=list)  # what cleaning left out, in words

    objects = TrackQuerySet.as_manager()

    class Meta:
        ordering = ["hunt", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["hunt", "sha256"], name="track_once_a_hunt"),
            models.CheckConstraint(condition=Q(swath_m__gt=0), name="track_swath_positive"),
            models.CheckConstraint(condition=Q(accuracy_m__gt=0), name="track_accuracy_positive"),
        ]

    def __str__(self) -> str:
        return f"track {self.pk}"

    @property
    def pace_m_s(self) -> float | None:
        """Forward speed while moving; None without times."""
        return self.length_m / self.seconds if self.seconds else None


class TrackCover(models.Model):
    """The cells of one site that one track covers, on that site's own grid."""

    track = models.ForeignKey(Track, on_delete=models.CASCADE, related_name="covers")
    site = models.ForeignKey("permissions.Site", on_delete=models.PROTECT, related_name="+")
    mask = models.BinaryField()  # geo.coverage_store.pack
    grid_lon = models.FloatField()
    grid_lat = models.FloatField()
    cell_m = models.FloatField()
    version = models.PositiveSmallIntegerField()
    length_m = models.FloatField()  # walked on this site

    class Meta:
        ordering = ["track", "pk"]
        constraints = [models.UniqueConstraint(fields=["track", "site"], name="track_cover_once_a_site")]
