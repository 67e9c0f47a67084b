"""A paper about finds that people sign: a settlement as one party reads it, a transfer of title, a disclaimer."""

from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from people.rights import Right
from web.append_only import AppendOnlyModel, AppendOnlyQuerySet
from web.once import OnceModel


class PaperKind(models.TextChoices):
    SETTLEMENT = "settlement", _lazy("Settlement sheet")
    TRANSFER = "transfer", _lazy("Transfer of title")
    DISCLAIMER = "disclaimer", _lazy("Disclaimer")


class PaperQuerySet(AppendOnlyQuerySet["Paper"]):
    def visible_to(self, user: User) -> Self:
        """Every paper for those who settle; others read those that they are asked to sign."""
        if user.holds(Right.SETTLE):
            return self
        return self.filter(signers__user=user).distinct() if user.roles else self.none()


class Paper(OnceModel, AppendOnlyModel):
    """The text as sent, whole. `given` is what it was made from besides the records, so that it can be made again.

    A settlement has one paper for the whole sheet, with `party` empty and nobody to sign it, and one for each party.
    """

    kind = models.CharField(max_length=10, choices=PaperKind.choices)
    number = models.CharField(max_length=60, unique=True)
    sheet = models.ForeignKey(
        "finds.Sheet", null=True, blank=True, on_delete=models.PROTECT, related_name="papers"
    )
    find = models.ForeignKey(
        "finds.Find", null=True, blank=True, on_delete=models.PROTECT, related_name="papers"
    )
    party = models.CharField(max_length=40, blank=True)
    given: Any = models.JSONField(default=dict, blank=True)
    content: Any = models.JSONField()
    content_sha256 = models.CharField(max_length=64)
    pdf: Any = models.FileField(upload_to="papers/")
    pdf_sha256 = models.CharField(max_length=64)
    issued_at = models.DateTimeField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    objects = PaperQuerySet.as_manager()  # type: ignore[misc]

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=PaperKind.values), name="paper_kind_known"),
            models.CheckConstraint(
                condition=Q(kind="settlement", sheet__isnull=False, find__isnull=True)
                | Q(kind__in=["transfer", "disclaimer"], sheet__isnull=True, find__isnull=False),
                name="paper_about_one_thing",
            ),
            models.UniqueConstraint(
                fields=["sheet", "party"], condition=Q(sheet__isnull=False), name="paper_once_a_party"
            ),
        ]

    def __str__(self) -> str:
        return self.number


class PaperSignerQuerySet(models.QuerySet["PaperSigner"]):
    def visible_to(self, user: User) -> Self:
        """Those who settle see who is asked; others see themselves."""
        if user.holds(Right.SETTLE):
            return self
        return self.filter(user=user) if user.roles else self.none()


class PaperSigner(OnceModel):
    """One person asked to sign one paper: with an account, or by an address with a key of its own."""

    paper = models.ForeignKey(Paper, on_delete=models.PROTECT, related_name="signers")
    role = models.CharField(max_length=60)
    name = models.CharField(max_length=160)
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    landholder = models.ForeignKey(
        "permissions.Landholder", null=True, blank=True, on_delete=models.PROTECT, related_name="papers"
    )
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    opened_at = models.DateTimeField(null=True, blank=True)
    disputed_at = models.DateTimeField(null=True, blank=True)
    disputed_why = models.CharField(max_length=500, blank=True)

    objects = PaperSignerQuerySet.as_manager()

    class Meta:
        ordering = ["paper", "pk"]
        constraints = [models.UniqueConstraint(fields=["paper", "role"], name="paper_signer_once")]

    def __str__(self) -> str:
        return f"paper signer {self.pk}"

    @property
    def language(self) -> str:
        """What they are written to and shown in; empty for the club's."""
        asked = self.landholder or self.user
        return asked.language if asked else ""


class PaperSignature(OnceModel, AppendOnlyModel):
    """A signature: the name typed, the strokes if drawn, the exact text and its hash; or that it was given on paper."""

    signer = models.OneToOneField(PaperSigner, on_delete=models.PROTECT, related_name="signature")
    name = models.CharField(max_length=160)
    statement = models.CharField(max_length=500)
    text = models.TextField()
    text_sha256 = models.CharField(max_length=64)
    drawn: Any = models.JSONField(default=list, blank=True)
    via = models.CharField(max_length=60)
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    signed_at = models.DateTimeField()

    class Meta:
        ordering = ["signed_at", "pk"]

    def __str__(self) -> str:
        return f"paper signature {self.pk}"
