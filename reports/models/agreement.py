"""An agreement as it was sent for signature, who is asked to sign it, and what was signed."""

from datetime import datetime
from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from people.rights import Right
from permissions.models.site import Capacity
from web.append_only import AppendOnlyModel, AppendOnlyQuerySet
from web.once import OnceModel


class AgreementIssueQuerySet(AppendOnlyQuerySet["AgreementIssue"]):
    def visible_to(self, user: User) -> Self:
        """Agreements name the landholders, so they are for those who keep the permissions."""
        return self if user.holds(Right.MANAGE_PERMISSIONS) else self.none()


class AgreementIssue(AppendOnlyModel):
    """The text as sent, whole: content, PDF and their hashes. Changed terms make a new issue."""

    permission = models.ForeignKey(
        "permissions.Permission", on_delete=models.PROTECT, related_name="agreements"
    )
    number = models.CharField(max_length=40, unique=True)
    issue = models.PositiveIntegerField()
    content: Any = models.JSONField()
    content_sha256 = models.CharField(max_length=64)
    pdf: Any = models.FileField(upload_to="agreements/")
    pdf_sha256 = models.CharField(max_length=64)
    issued_at = models.DateTimeField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    objects = AgreementIssueQuerySet.as_manager()  # type: ignore[misc]

    class Meta:
        ordering = ["-issue", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["permission", "issue"], name="agreement_issue_once"),
        ]

    def __str__(self) -> str:
        return self.number


class SignatureRequestQuerySet(models.QuerySet["SignatureRequest"]):
    def visible_to(self, user: User) -> Self:
        """Who is asked to sign is for those who keep the permissions."""
        return self if user.holds(Right.MANAGE_PERMISSIONS) else self.none()

    def unrevoked(self) -> Self:
        """Requests whose address the club has not withdrawn, signed ones among them."""
        return self.filter(revoked_at__isnull=True)

    def live(self, at: datetime) -> Self:
        """Requests whose address opens the agreement at `at`."""
        return self.unrevoked().filter(expires_at__gt=at)

    def unsigned(self) -> Self:
        return self.filter(signature__isnull=True)


class SignatureRequest(OnceModel):
    """One landholder asked to sign one issue in one capacity; the address carries a signed key of its own."""

    issue = models.ForeignKey(AgreementIssue, on_delete=models.PROTECT, related_name="requests")
    landholder = models.ForeignKey("permissions.Landholder", on_delete=models.PROTECT, related_name="+")
    capacity = models.CharField(max_length=16, choices=Capacity.choices)
    acts_for = models.CharField(
        _lazy("Acts for"), max_length=300, blank=True
    )  # names, as written in the agreement
    sites: Any = models.ManyToManyField("permissions.Site", related_name="+")  # where they have that say
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    sent_at = models.DateTimeField(
        null=True, blank=True
    )  # when the last e-mail was handed over; none: by hand
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    opened_at = models.DateTimeField(null=True, blank=True)
    declined_at = models.DateTimeField(null=True, blank=True)
    declined_why = models.CharField(max_length=500, blank=True)

    objects = SignatureRequestQuerySet.as_manager()

    class Meta:
        ordering = ["issue", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["issue", "landholder", "capacity"],
                condition=Q(revoked_at__isnull=True),
                name="signature_request_once",
            ),
        ]

    def __str__(self) -> str:
        return f"signature request {self.pk}"

    @property
    def language(self) -> str:
        """What they are written to and shown in; empty for the club's."""
        return self.landholder.language


class Signature(OnceModel, AppendOnlyModel):
    """A signature given on line: the name typed, the strokes if drawn, the exact text agreed to and its hash."""

    request = models.OneToOneField(SignatureRequest, on_delete=models.PROTECT, related_name="signature")
    consent = models.OneToOneField("permissions.Consent", on_delete=models.PROTECT, related_name="signature")
    name = models.CharField(max_length=160)
    statement = models.CharField(max_length=500)
    text = models.TextField()
    text_sha256 = models.CharField(max_length=64)
    drawn: Any = models.JSONField(
        default=list, blank=True
    )  # strokes of whole numbers, 0 to 1000; none: typed
    signed_at = models.DateTimeField()

    class Meta:
        ordering = ["signed_at", "pk"]

    def __str__(self) -> str:
        return f"signature {self.pk}"
