"""Which step of setting up the club does not need, with the reason."""

from django.conf import settings
from django.db import models


class NotNeeded(models.Model):
    """One step that was put aside, so that it no longer stands on Today. Taking it back removes the row."""

    step = models.CharField(max_length=30, unique=True)  # a key of reports/checklist.py
    why = models.CharField(max_length=200)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"not needed: {self.step}"
