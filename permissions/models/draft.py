"""What a file held, kept privately between sending it and saving what it is to become."""

from datetime import datetime
from typing import Any, Self

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from people.rights import Right
from web.once import OnceModel


class ImportDraftQuerySet(models.QuerySet["ImportDraft"]):
    def visible_to(self, user: User) -> Self:
        """Only whoever sent the file sees it, and only while they keep the land."""
        return self.filter(made_by=user) if user.holds(Right.MANAGE_LAND) else self.none()

    def live(self, at: datetime) -> Self:
        """Drafts that may still be used at `at`."""
        return self.filter(expires_at__gt=at)


class ImportDraft(OnceModel):
    """A file on its way in. `raw` holds it only until it is read: in the row, so that nothing is left behind.

    `shapes` is a list of `{"name", "geometry", "properties"}` in WGS84; a boundary that cannot be kept has
    `"error"`. `choices` are the coordinate systems it could be in, if it does not say.
    """

    class Purpose(models.TextChoices):
        SITES = "sites", _lazy("Boundaries of sites")
        PLACES = "places", _lazy("A layer of protected places")

    purpose = models.CharField(max_length=6, choices=Purpose.choices)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    filename = models.CharField(max_length=160)
    raw = models.BinaryField(null=True)
    question = models.TextField(blank=True)
    choices: Any = models.JSONField(default=list)
    format = models.CharField(max_length=40, blank=True)
    crs = models.CharField(max_length=160, blank=True)
    notes: Any = models.JSONField(default=list)
    shapes: Any = models.JSONField(default=list)
    layer = models.ForeignKey(
        "permissions.ProtectedLayer", null=True, blank=True, on_delete=models.CASCADE, related_name="+"
    )  # the layer that this file brings up to date, if it is there already
    within: Any = models.JSONField(null=True)  # west, south, east, north: only places that touch it were kept
    saved_at = models.DateTimeField(null=True)

    objects = ImportDraftQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return self.filename
