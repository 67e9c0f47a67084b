"""Finds screened again because the law packs changed: who, when, from which packs to which, and what changed."""

from typing import Any

from django.conf import settings
from django.db import models

from web.append_only import AppendOnlyModel


class Rescreening(models.Model):
    """One decision to keep the answers of the packs now in force. It goes on in batches until `finished_at`.

    `packs` says for each place its packs before and after and how many finds waited; `prints` the fingerprint of
    the packs it works with, so that a further change of packs starts another one.
    """

    started_at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )  # nobody: the command on the server
    finished_at = models.DateTimeField(null=True, blank=True)
    waiting = models.PositiveIntegerField()
    packs: Any = models.JSONField(default=list)
    prints: Any = models.JSONField(default=dict)

    class Meta:
        ordering = ["-started_at", "-pk"]

    def __str__(self) -> str:
        return f"screening again of {self.started_at:%Y-%m-%d}"


class RescreenedFind(AppendOnlyModel):
    """One find of a rescreening with its answers before and after, and every difference in words."""

    run = models.ForeignKey(Rescreening, on_delete=models.PROTECT, related_name="finds")
    find = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="+")
    before = models.ForeignKey(
        "finds.ScreeningRecord", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    after = models.ForeignKey("finds.ScreeningRecord", on_delete=models.PROTECT, related_name="+")
    changed = models.BooleanField()
    changes: Any = models.JSONField(default=list)  # law.compare.Change as dictionaries

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["run", "find"], name="rescreened_once_a_run")]
