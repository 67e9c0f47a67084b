"""What went to an authority with an issued heritage report: its data package, each sending, and what was answered."""

from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from people.rights import Right
from reports.models.issued import IssuedReport
from web.append_only import AppendOnlyModel, AppendOnlyQuerySet
from web.once import OnceModel


class ReportPackage(AppendOnlyModel):
    """The data of one issued heritage report in one ZIP file, frozen with it."""

    report = models.OneToOneField(IssuedReport, on_delete=models.PROTECT, related_name="package")
    file: Any = models.FileField(upload_to="packages/")
    sha256 = models.CharField(max_length=64)
    size = models.PositiveBigIntegerField()

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"data package of {self.report.number}"


class Way(models.TextChoices):
    """How a report reached the authority. The club's own mail server never carries a locked findspot."""

    HAND = "hand", _lazy("In person, by hand")
    PORTAL = "portal", _lazy("Through their secure portal or file transfer")
    EMAIL = "e-mail", _lazy("By a person's own e-mail, as they asked")
    POST = "post", _lazy("By post")
    OTHER = "other", _lazy("Otherwise")


class What(models.TextChoices):
    BOTH = "both", _lazy("The report and the data package")
    PDF = "pdf", _lazy("The report only")
    PACKAGE = "package", _lazy("The data package only")


class ReportSendingQuerySet(AppendOnlyQuerySet["ReportSending"]):
    def visible_to(self, user: User) -> Self:
        """Those who issue heritage reports."""
        return self if user.holds(Right.ISSUE_HERITAGE_REPORTS) else self.none()

    def unanswered(self) -> Self:
        return self.filter(acknowledgement__isnull=True)


class ReportSending(OnceModel, AppendOnlyModel):
    """An issued report was sent: when, to whom, how, and the hashes of exactly what was sent."""

    report = models.ForeignKey(IssuedReport, on_delete=models.PROTECT, related_name="sendings")
    sent_at = models.DateTimeField(_lazy("When it was sent"))
    to_name = models.CharField(_lazy("To whom"), max_length=160)
    to_details = models.CharField(_lazy("Their address, number or portal"), max_length=200, blank=True)
    how = models.CharField(_lazy("How"), max_length=8, choices=Way.choices)
    what = models.CharField(_lazy("What was sent"), max_length=8, choices=What.choices, default=What.BOTH)
    pdf_sha256 = models.CharField(max_length=64, blank=True)
    package_sha256 = models.CharField(max_length=64, blank=True)
    words = models.TextField(_lazy("Remarks"), blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    objects = ReportSendingQuerySet.as_manager()  # type: ignore[misc]

    class Meta:
        ordering = ["sent_at", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(how__in=Way.values), name="sending_how_known"),
            models.CheckConstraint(
                condition=Q(what="package", pdf_sha256="")
                | Q(what="pdf", package_sha256="")
                | Q(what="both"),
                name="sending_hash_of_what_was_sent",
            ),
            models.CheckConstraint(
                condition=~Q(pdf_sha256="") | ~Q(package_sha256=""), name="sending_of_something"
            ),
        ]

    def __str__(self) -> str:
        return f"sending {self.pk}"


class Acknowledgement(OnceModel, AppendOnlyModel):
    """The authority said that it has a report: the day, their reference, and who said so."""

    sending = models.OneToOneField(ReportSending, on_delete=models.PROTECT, related_name="acknowledgement")
    on = models.DateField(_lazy("Acknowledged on"))
    who = models.CharField(_lazy("By whom"), max_length=160)
    reference = models.CharField(_lazy("Their reference"), max_length=80, blank=True)
    words = models.TextField(_lazy("What they said"), blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"acknowledgement {self.pk}"
