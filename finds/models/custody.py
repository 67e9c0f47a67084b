"""Who holds an object now, and every hand-over before: a ledger that only grows."""

from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import Q

from web.append_only import AppendOnlyModel


class Holder(models.TextChoices):
    FINDER = "finder", "Finder"
    CLUB = "club", "Club"
    LANDHOLDER = "landholder", "Landholder"
    OFFICER = "officer", "Heritage officer"
    MUSEUM = "museum", "Museum"
    CONSERVATOR = "conservator", "Conservator"
    BUYER = "buyer", "Buyer"
    LOST = "lost", "Lost"
    REBURIED = "reburied", "Reburied"


class CustodyEntry(AppendOnlyModel):
    """One hand-over. `step` counts from 1 per find, so two hand-overs at once cannot both be the next."""

    find = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="custody")
    step = models.PositiveIntegerField()
    at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    from_holder = models.CharField(max_length=11, choices=Holder.choices, blank=True)
    from_name = models.CharField(max_length=160, blank=True)
    to_holder = models.CharField(max_length=11, choices=Holder.choices)
    to_name = models.CharField(max_length=160)
    purpose = models.CharField(max_length=160)
    due_back = models.DateField(null=True, blank=True)
    condition = models.CharField(max_length=200, blank=True)
    signature: Any = models.JSONField(default=dict, blank=True)  # name, time, text signed and its hash

    class Meta:
        ordering = ["find", "step"]
        constraints = [
            models.UniqueConstraint(fields=["find", "step"], name="custody_step_once"),
            models.CheckConstraint(condition=Q(to_holder__in=Holder.values), name="custody_holder_known"),
        ]
