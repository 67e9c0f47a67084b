"""Accounts that looked at more locked places than their work needs, for the committee to ask about."""

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy


class UnusualReadingQuerySet(models.QuerySet["UnusualReading"]):
    def open(self) -> Self:
        """Nobody has said yet what it was."""
        return self.filter(answered_at=None)


class UnusualReading(models.Model):
    """One account on one day. It says that it happened, never what was seen."""

    reader = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    on = models.DateField()
    since = models.DateTimeField()
    noticed_at = models.DateTimeField()
    places = models.PositiveIntegerField()  # different places, the most that one window of that day held
    within = models.CharField(max_length=20)  # people.looking.Window.words
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    answer = models.TextField(_lazy("What it was"), blank=True)

    objects = UnusualReadingQuerySet.as_manager()

    class Meta:
        ordering = ["-noticed_at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["reader", "on"], name="unusual_reading_once_a_day"),
            models.CheckConstraint(
                condition=Q(answered_at=None, answered_by=None, answer="")
                | (Q(answered_at__isnull=False, answered_by__isnull=False) & ~Q(answer="")),
                name="unusual_reading_answered_whole",
            ),
            models.CheckConstraint(
                condition=Q(answered_by=None) | ~Q(answered_by=models.F("reader")),
                name="unusual_reading_answered_by_another",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.reader.name}, {self.on:%-d %b %Y}"
