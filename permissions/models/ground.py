"""What the ground itself says: no-go areas, field states, closed periods and protected places."""

from typing import Any

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _lazy

from web.once import OnceModel


class Effect(models.TextChoices):
    OPEN = "open", _lazy("Open")
    ASK = "ask", _lazy("Ask first")
    SHUT = "shut", _lazy("Shut")


class NoGoArea(OnceModel):
    """Ground inside or across the boundary that may not be searched, with the margin kept around it."""

    site = models.ForeignKey("permissions.Site", on_delete=models.CASCADE, related_name="no_go")
    reason = models.CharField(_lazy("Reason"), max_length=160)
    geometry: Any = models.JSONField()
    buffer_m = models.FloatField(_lazy("Margin around it (m)"), default=0, validators=[MinValueValidator(0)])

    class Meta:
        ordering = ["site", "pk"]

    def __str__(self) -> str:
        return self.reason


class FieldState(OnceModel):
    """What stood on the field on a day, and who said so."""

    site = models.ForeignKey("permissions.Site", on_delete=models.CASCADE, related_name="field_states")
    on = models.DateField(_lazy("Seen or told on"))
    crop = models.CharField(_lazy("Crop"), max_length=60, blank=True)
    stage = models.CharField(_lazy("Stage"), max_length=60, blank=True)
    livestock = models.CharField(_lazy("Livestock"), max_length=60, blank=True)
    effect = models.CharField(_lazy("Open to search?"), max_length=4, choices=Effect.choices)
    cultivated = models.BooleanField(_lazy("Freshly cultivated (ploughed, drilled or rolled)"), default=False)
    said_by = models.CharField(_lazy("Who said so"), max_length=120)

    class Meta:
        ordering = ["-on", "-pk"]

    def __str__(self) -> str:
        return f"{self.crop or 'field'} {self.stage}".strip()


class ClosedPeriod(OnceModel):
    """Days on which a site is shut or must be asked for, once or every year; both ends included."""

    site = models.ForeignKey("permissions.Site", on_delete=models.CASCADE, related_name="closed_periods")
    reason = models.CharField(_lazy("Reason"), max_length=160)
    starts = models.DateField(_lazy("First day"))
    ends = models.DateField(_lazy("Last day"))
    yearly = models.BooleanField(_lazy("Every year"), default=False)
    effect = models.CharField(max_length=4, choices=Effect.choices[1:], default=Effect.SHUT)

    class Meta:
        ordering = ["starts", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(ends__gte=F("starts")), name="closed_period_ends_after_start"),
        ]

    def __str__(self) -> str:
        return self.reason


class ProtectedCheck(OnceModel):
    """A check of the official maps for protected places: what was found, in which data, by whom."""

    class Result(models.TextChoices):
        CLEAR = "clear", _lazy("Nothing near")
        BUFFER = "buffer", _lazy("Close to one: keep clear, ask")
        TOUCHES = "touches", _lazy("On one: shut")

    site = models.ForeignKey("permissions.Site", on_delete=models.CASCADE, related_name="protected_checks")
    checked_on = models.DateField(_lazy("Checked on"))
    checked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    result = models.CharField(max_length=8, choices=Result.choices)
    place = models.CharField(_lazy("Protected place"), max_length=160, blank=True)
    source = models.CharField(_lazy("Map or register checked"), max_length=160)

    class Meta:
        ordering = ["-checked_on", "-pk"]

    def __str__(self) -> str:
        return self.place or self.get_result_display()
