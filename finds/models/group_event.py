"""What became of a same-find group: who put which find in or took it out, when and why."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _lazy

from web.append_only import AppendOnlyModel


class GroupEvent(AppendOnlyModel):
    """One find that came into a group or left it."""

    class Verb(models.TextChoices):
        JOINED = "joined", _lazy("Put in")
        LEFT = "left", _lazy("Taken out")
        WITHDRAWN = "withdrawn", _lazy("Record withdrawn")
        ALONE = "alone", _lazy("Left alone, so no group any more")

    group = models.ForeignKey("finds.FindGroup", on_delete=models.PROTECT, related_name="events")
    find = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="group_events")
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    verb = models.CharField(max_length=9, choices=Verb.choices)
    words = models.TextField(blank=True)

    class Meta:
        ordering = ["at", "pk"]
