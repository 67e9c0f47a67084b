"""Where a person walked on a hunt, as uploaded or recorded, and the ground it covered."""

from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import Q

from web.once import OnceModel


class Track(OnceModel):
    """One cleaned track. `sha256` of the file makes a second upload of the same track recognisable."""

    hunt = models.ForeignKey("hunts.Hunt", on_delete=models.PROTECT, related_name="tracks")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="tracks")
    sha256 = models.CharField(max_length=64)
    line: Any = models.JSONField()  # GeoJSON MultiLineString, WGS84
    points = models.PositiveIntegerField()
    length_m = models.FloatField()
    seconds = models.FloatField(null=True)
    swath_m = models.FloatField(default=1.5)
    added_at = models.DateTimeField()
    notes: Any = models.JSONField(default=list)

    class Meta:
        ordering = ["hunt", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["hunt", "user", "sha256"], name="track_once"),
            models.CheckConstraint(condition=Q(swath_m__gt=0), name="track_swath_positive"),
        ]
