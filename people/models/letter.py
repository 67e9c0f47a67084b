"""The outbox: each e-mail as a row that is kept with what it tells of, and what people do not want to be sent."""

from datetime import datetime, timedelta
from typing import Self

from django.db import models
from django.db.models import Exists, F, OuterRef, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _lazy

from people.letter_kinds import OVERTAKING, RULES, LetterKind

IN_HAND = timedelta(minutes=10)
"""A claim older than this belongs to a process that died: longer than a mail server is waited for in all."""
ALARM_IN_HAND = timedelta(minutes=5)


class LetterQuerySet(models.QuerySet["Letter"]):
    def unsettled(self) -> Self:
        """Neither sent nor given up."""
        return self.filter(sent_at=None, gave_up_at=None)

    def waiting(self) -> Self:
        """In the queue, in nobody's hand."""
        return self.unsettled().filter(claimed_at=None)

    def perhaps_sent(self, at: datetime) -> Self:
        """Taken by a process of which nothing more was heard, or handed over without an answer."""
        return self.unsettled().filter(Q(is_unsure=True) | Q(claimed_at__lte=at - IN_HAND))

    def due(self, at: datetime) -> Self:
        """What may be tried at `at`, behind others or not.

        An alarm that was perhaps sent is tried again: an alarm lost is worse than one sent twice.
        """
        lost = Q(kind=LetterKind.LATE, claimed_at__lte=at - ALARM_IN_HAND)
        rows = self.unsettled().filter(Q(claimed_at=None, next_try_at__lte=at) | lost)
        return rows.filter(Q(expires_at=None) | Q(expires_at__gt=at))

    def first_in_line(self, at: datetime) -> Self:
        """Without letters that have an older one before them on its way to the same address.

        An older one that was perhaps sent waits for the secretary and holds nobody up.
        """
        before = Letter.objects.unsettled().filter(to=OuterRef("to"), pk__lt=OuterRef("pk"), is_unsure=False)
        before = before.filter(Q(claimed_at=None) | Q(claimed_at__gt=at - IN_HAND))
        return self.filter(Q(kind__in=OVERTAKING) | ~Exists(before))

    def out_of_date(self, at: datetime) -> Self:
        return self.waiting().filter(expires_at__lte=at)

    def to_look_at(self, at: datetime) -> Self:
        """What somebody has to decide about: given up or perhaps sent, and not dealt with."""
        gave_up = Q(sent_at=None, gave_up_at__isnull=False, is_out_of_date=False)
        unsure = Q(sent_at=None, gave_up_at=None) & (Q(is_unsure=True) | Q(claimed_at__lte=at - IN_HAND))
        return self.filter(gave_up | unsure, closed_at=None)


class Letter(models.Model):
    """One e-mail to one address. It has no attachments, on purpose: what is confidential is read behind a sign-in.

    `claimed_at` is written in a transaction of its own before the mail server is spoken to; while it stands, nobody
    else sends the letter. The words are emptied as soon as it is known to have left.
    """

    class Trouble(models.TextChoices):
        NONE = "", _lazy("none")
        SERVER = "server", _lazy("The mail server could not be reached or does not take letters")
        LATER = "later", _lazy("The receiving side said: not now")
        NEVER = "never", _lazy("The receiving side refused it for good")

    kind = models.CharField(
        max_length=20
    )  # a LetterKind; without choices, so that a new kind is no migration
    to = models.CharField(max_length=254)
    reply_to = models.CharField(max_length=254, blank=True)
    subject = models.CharField(max_length=250)
    text = models.TextField(blank=True)
    html = models.TextField(blank=True)
    message_id = models.CharField(max_length=200, unique=True)  # the same at every try: a receiver can tell
    dedupe_key = models.CharField(max_length=120, blank=True)
    made_at = models.DateTimeField(default=timezone.now)
    next_try_at = models.DateTimeField(default=timezone.now)
    expires_at = models.DateTimeField(null=True, blank=True)  # words about a day that is over are not sent
    tries = models.PositiveIntegerField(default=0)
    claimed_at = models.DateTimeField(null=True, blank=True)
    is_unsure = models.BooleanField(default=False)  # handed over, and the connection broke before the answer
    sent_at = models.DateTimeField(null=True, blank=True)
    gave_up_at = models.DateTimeField(null=True, blank=True)
    is_out_of_date = models.BooleanField(default=False)
    failed_at = models.DateTimeField(null=True, blank=True)
    trouble = models.CharField(max_length=8, blank=True, choices=Trouble.choices)
    last_error = models.CharField(max_length=300, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)  # the secretary has seen that it did not leave

    objects = LetterQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        indexes = [
            models.Index(
                fields=["next_try_at"],
                condition=Q(sent_at__isnull=True, gave_up_at__isnull=True),
                name="letter_unsettled",
            ),
            models.Index(fields=["to"], name="letter_to"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(sent_at__isnull=True) | Q(gave_up_at__isnull=True), name="letter_sent_or_given_up"
            ),
            models.CheckConstraint(
                condition=Q(sent_at__isnull=True) | Q(text="", html=""), name="letter_sent_keeps_no_words"
            ),
            models.CheckConstraint(
                condition=Q(expires_at__isnull=True) | Q(expires_at__gte=F("made_at")),
                name="letter_expires_after_made",
            ),
            models.UniqueConstraint(
                fields=["dedupe_key"], condition=~Q(dedupe_key=""), name="letter_once_for_its_key"
            ),
        ]

    def __str__(self) -> str:
        return f"letter {self.pk}: {self.subject}"

    @property
    def words(self) -> str:
        """What kind of letter it is, in words."""
        return str(LetterKind(self.kind).label)

    @property
    def is_duty(self) -> bool:
        return RULES[LetterKind(self.kind)].is_duty

    @property
    def is_alarm(self) -> bool:
        return self.kind == LetterKind.LATE


class MailStop(models.Model):
    """An address that does not want one kind of letter. The address is kept as a hash: it outlives an erasure."""

    address_sha256 = models.CharField(max_length=64)
    kind = models.CharField(max_length=20)
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["address_sha256", "kind"], name="mail_stop_once"),
        ]
