"""Issued reports, frozen with their hash, and what landholders answer through their link."""

from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from people.models import User
from people.rights import Right
from web.append_only import AppendOnlyModel, AppendOnlyQuerySet
from web.once import OnceModel


class Kind(models.TextChoices):
    VISIT = "visit", "Visit report"
    HOLES = "holes", "Filled-holes report"
    RETURNS = "returns", "Returns statement"
    HERITAGE = "heritage", "Heritage report"


class IssuedReportQuerySet(AppendOnlyQuerySet["IssuedReport"]):
    def visible_to(self, user: User) -> Self:
        """Heritage reports for the committee; the others for those who issue to landholders."""
        kinds = []
        if user.holds(Right.ISSUE_HERITAGE_REPORTS):
            kinds.append(Kind.HERITAGE)
        if user.holds(Right.ISSUE_REPORTS):
            kinds += [Kind.VISIT, Kind.HOLES, Kind.RETURNS]
        return self.filter(kind__in=kinds)


class IssuedReport(AppendOnlyModel):
    """What was sent, whole: content, PDF, hash, recipient and time. A later edit makes a new issue."""

    kind = models.CharField(max_length=8, choices=Kind.choices)
    number = models.CharField(max_length=30, unique=True)
    issue = models.PositiveIntegerField(default=1)
    hunt = models.ForeignKey(
        "hunts.Hunt", null=True, blank=True, on_delete=models.PROTECT, related_name="reports"
    )
    case = models.ForeignKey(
        "finds.Case", null=True, blank=True, on_delete=models.PROTECT, related_name="reports"
    )
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
        ]

    def __str__(self) -> str:
        return self.number


class LandholderAnswer(OnceModel, AppendOnlyModel):
    """What a landholder said through the link: returned items confirmed, a concern, a question, a pause."""

    class What(models.TextChoices):
        CONFIRMED = "confirmed", "Confirmed what was returned"
        DISPUTED = "disputed", "Something is missing or not right"
        CONCERN = "concern", "Raised a concern"
        PAUSED = "paused", "Paused the permission"

    landholder = models.ForeignKey("permissions.Landholder", on_delete=models.PROTECT, related_name="answers")
    link = models.ForeignKey("permissions.LandholderLink", on_delete=models.PROTECT, related_name="answers")
    what = models.CharField(max_length=9, choices=What.choices)
    report = models.ForeignKey(
        IssuedReport, null=True, blank=True, on_delete=models.PROTECT, related_name="answers"
    )
    permission = models.ForeignKey(
        "permissions.Permission", null=True, blank=True, on_delete=models.PROTECT, related_name="answers"
    )
    words = models.TextField(blank=True)
    signed_name = models.CharField(max_length=160, blank=True)
    at = models.DateTimeField()

    class Meta:
        ordering = ["-at", "-pk"]


class Concern(models.Model):
    """The club's answer to a landholder's concern, so that nothing closes silently."""

    answer = models.OneToOneField(LandholderAnswer, on_delete=models.PROTECT, related_name="settled")
    settled_at = models.DateTimeField()
    settled_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    words = models.TextField("What was done")
