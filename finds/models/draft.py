"""A table of finds kept privately between sending it and saving what it is to become."""

from datetime import datetime
from typing import Any, Self

from django.conf import settings
from django.db import models

from people.models import User
from people.rights import Right
from web.once import OnceModel


class FindImportDraftQuerySet(models.QuerySet["FindImportDraft"]):
    def visible_to(self, user: User) -> Self:
        """Only whoever sent the file sees it, and only while they may record finds at all."""
        may = user.holds(Right.LOG_HOLES) or user.holds(Right.SEE_ALL_FINDS)
        return self.filter(made_by=user) if may else self.none()

    def live(self, at: datetime) -> Self:
        """Drafts that may still be looked at."""
        return self.filter(expires_at__gt=at)


class FindImportDraft(OnceModel):
    """A CSV file on its way in. `raw` holds it until it is saved: in the row, so that nothing is left behind.

    The rows are read from it anew at each look, against the club as it stands then.
    """

    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    filename = models.CharField(max_length=160)
    raw = models.BinaryField(null=True)
    encoding = models.CharField(max_length=20, blank=True)  # empty: found out from the bytes
    day_order = models.CharField(max_length=5, blank=True)  # what 03/04/2025 means; empty: it is refused
    saved_at = models.DateTimeField(null=True)
    made: Any = models.JSONField(default=list)  # primary keys of the finds that it became

    objects = FindImportDraftQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return self.filename
