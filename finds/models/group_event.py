"""What became of a same-find group: who put which find in or took it out, when and why."""

from django.conf import settings
from django.db import models

from web.append_only import AppendOnlyModel


class GroupEvent(AppendOnlyModel):
    """One find that came into a group or left it."""

    class Verb(models.TextChoices):
        JOINED = "joined", "Put in"
        LEFT = "left", "Taken out"
        WITHDRAWN = "withdrawn", "Record withdrawn"
        ALONE = "alone", "Left alone, so no group any more"

    group = models.ForeignKey("finds.FindGroup", on_delete=models.PROTECT, related_name="events")
    find = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="group_events")
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    verb = models.CharField(max_length=9, choices=Verb.choices)
    words = models.TextField(blank=True)

    class Meta:
        ordering = ["at", "pk"]
