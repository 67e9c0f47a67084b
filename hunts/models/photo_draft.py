"""Photographs that came with a form which had to be shown again: kept for their sender until it is sent."""

from datetime import datetime
from typing import Self

from django.conf import settings
from django.db import models

from people.models import User


class PhotoDraftQuerySet(models.QuerySet["PhotoDraft"]):
    def visible_to(self, user: User) -> Self:
        """Nobody but whoever sent it sees a photograph that belongs to no record yet."""
        return self.filter(made_by=user)

    def live(self, at: datetime) -> Self:
        return self.filter(expires_at__gt=at)


class PhotoDraft(models.Model):
    """A stripped photograph waiting for its form, in the row itself so that no file is left behind.

    Where it was taken is not here: the form carries that, and only to whoever sent the photograph.
    """

    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    form_key = models.UUIDField()  # the hidden key of the form that it came with
    slot = models.CharField(max_length=20, default="photos")  # the field of that form
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    sha256 = models.CharField(max_length=64)
    display = models.BinaryField()
    thumb = models.BinaryField()
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    taken_at = models.DateTimeField(null=True)
    kind = models.CharField(max_length=8)

    objects = PhotoDraftQuerySet.as_manager()

    class Meta:
        db_table = "finds_photodraft"  # it began with the finds; holes wait here as well
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["made_by", "form_key", "slot", "sha256"], name="photo_draft_once")
        ]
