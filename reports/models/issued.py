"""Issued reports, frozen with their hash."""

from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from people.rights import Right
from web.append_only import AppendOnlyModel, AppendOnlyQuerySet


class Kind(models.TextChoices):
    VISIT = "visit", _lazy("Visit report")
    HOLES = "holes", _lazy("Filled-holes report")
    RETURNS = "returns", _lazy("Returns statement")
    HERITAGE = "heritage", _lazy("Heritage report")
    YEAR = "year", _lazy("Report on a year")


class IssuedReportQuerySet(AppendOnlyQuerySet["IssuedReport"]):
    def visible_to(self, user: User) -> Self:
        """Heritage reports for the committee; the others for those who issue to landholders.

        What a landholder was told of a whole year is for those who see landholders.
        """
        kinds = []
        if user.holds(Right.ISSUE_HERITAGE_REPORTS):
            kinds.append(Kind.HERITAGE)
        if user.holds(Right.ISSUE_REPORTS):
            kinds += [Kind.VISIT, Kind.HOLES, Kind.RETURNS, Kind.YEAR]
        rows = self.filter(kind__in=kinds)
        if user.holds(Right.SEE_LANDHOLDERS):
            return rows
        return rows.exclude(kind=Kind.YEAR, landholder__isnull=False)


class IssuedReport(AppendOnlyModel):
    """What was sent, whole: content, PDF, hash, recipient and time. A later edit makes a new issue."""

    kind = models.CharField(max_length=8, choices=Kind.choices)
    number = models.CharField(max_length=40, unique=True)
    issue = models.PositiveIntegerField(default=1)
    hunt = models.ForeignKey(
        "hunts.Hunt", null=True, blank=True, on_delete=models.PROTECT, related_name="reports"
    )
    case = models.ForeignKey(
        "finds.Case", null=True, blank=True, on_delete=models.PROTECT, related_name="reports"
    )
    year = models.PositiveIntegerField(null=True, blank=True)  # of a report on a year: when its season began
    landholder = models.ForeignKey(
        "permissions.Landholder", null=True, blank=True, on_delete=models.PROTECT, related_name="reports"
    )
    content: Any = models.JSONField()
    content_sha256 = models.CharField(max_length=64)
    pdf: Any = models.FileField(upload_to="reports/")
    pdf_sha256 = models.CharField(max_length=64)
    issued_at = models.DateTimeField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recipient = models.CharField(max_length=160)

    objects = IssuedReportQuerySet.as_manager()  # type: ignore[misc]

    class Meta:
        ordering = ["-issued_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "hunt", "landholder", "issue"],
                condition=Q(hunt__isnull=False),
                name="report_issue_once_hunt",
            ),
            models.UniqueConstraint(
                fields=["kind", "case", "issue"],
                condition=Q(case__isnull=False),
                name="report_issue_once_case",
            ),
            models.UniqueConstraint(
                fields=["year", "issue"],
                condition=Q(year__isnull=False, landholder__isnull=True),
                name="report_issue_once_year",
            ),
            models.UniqueConstraint(
                fields=["year", "landholder", "issue"],
                condition=Q(year__isnull=False, landholder__isnull=False),
                name="report_issue_once_year_landholder",
            ),
        ]

    def __str__(self) -> str:
        return self.number
