"""A heritage case: one find or one same-find group from first flag to outcome."""

from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy

from finds.states import CLOCK_RUNS, CaseState
from people.models import User
from people.rights import Right
from web.append_only import AppendOnlyModel


class Decision(models.TextChoices):
    RETURNED = "returned", _lazy("Returned")
    ACQUIRED = "acquired", _lazy("Acquired by a museum")
    DISCLAIMED = "disclaimed", _lazy("Disclaimed")
    OTHER = "other", _lazy("Other")


class CaseQuerySet(models.QuerySet["Case"]):
    def visible_to(self, user: User) -> Self:
        """The committee sees every case; a finder and the hunt's leader see their own."""
        if user.holds(Right.REVIEW_CASES):
            return self
        if not user.roles:
            return self.none()
        return self.filter(Q(finds__finder=user) | Q(finds__hunt__leader=user)).distinct()

    def running(self) -> Self:
        """Cases whose clock still runs, the first due first; those without a day come last."""
        return self.filter(state__in=CLOCK_RUNS).order_by(models.F("due_on").asc(nulls_last=True), "pk")


class Case(models.Model):
    """Only the committee moves it; the finder can always report directly and record that they did."""

    number = models.CharField(max_length=20, unique=True)
    finds: Any = models.ManyToManyField("finds.Find", related_name="cases")
    state = models.CharField(
        max_length=12, choices=[(s.value, _lazy(s.value)) for s in CaseState], default=CaseState.FLAGGED
    )
    opened_at = models.DateTimeField()
    due_on = models.DateField(null=True, blank=True)
    due_words = models.CharField(max_length=200, blank=True)  # "as soon as possible", or an hour
    authority = models.CharField(max_length=160, blank=True)
    decision = models.CharField(max_length=10, choices=Decision.choices, blank=True)
    reported_on = models.DateField(null=True, blank=True)
    report_reference = models.CharField(_lazy("Their reference"), max_length=80, blank=True)
    acknowledged_on = models.DateField(null=True, blank=True)
    decided_on = models.DateField(null=True, blank=True)

    objects = CaseQuerySet.as_manager()

    class Meta:
        ordering = ["-opened_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(state__in=[s.value for s in CaseState]), name="case_state_known"
            ),
        ]

    def __str__(self) -> str:
        return self.number


class CaseEvent(AppendOnlyModel):
    """One line of a case's history: a move, a decision with its reasons, a note, a message."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="events")
    at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    verb = models.CharField(max_length=40)
    words = models.TextField(blank=True)
    to_state = models.CharField(max_length=12, blank=True)

    class Meta:
        ordering = ["at", "pk"]
