"""What screening said, when, by which pack; and who looked at a locked findspot."""

from typing import Any

from django.conf import settings
from django.db import models

from web.append_only import AppendOnlyModel


class ScreeningRecord(AppendOnlyModel):
    """One run of the place's law packs over one find and its group, kept with the facts it judged."""

    find = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="screenings")
    at = models.DateTimeField()
    outcome = models.CharField(max_length=20)  # law.screen.Outcome
    weight = models.CharField(max_length=10, blank=True)  # law.screen.Weight of the heaviest duty
    pack_code = models.CharField(max_length=30)
    pack_version = models.CharField(max_length=30)
    due_on = models.DateField(null=True, blank=True)
    facts_digest = models.CharField(max_length=64)
    result: Any = models.JSONField()
    facts: Any = models.JSONField()
    packs: Any = models.JSONField(default=list)  # each pack that judged: code, version, digest, title
    judged_by = models.CharField(max_length=64, blank=True, db_index=True)  # law.together.fingerprint of them
    answered: Any = models.JSONField(
        default=list
    )  # facts that came from answers, not from the record's own columns

    class Meta:
        ordering = ["-at", "-pk"]


class FindspotView(AppendOnlyModel):
    """Somebody saw the exact place of a locked find."""

    find = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="findspot_views")
    at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    where = models.CharField(max_length=60)  # which page or file showed it

    class Meta:
        ordering = ["-at", "-pk"]
