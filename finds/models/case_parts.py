"""What a case gathers on its way: reports to the authority, stages reached, messages and tasks."""

from datetime import date
from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.utils.translation import gettext_lazy as _lazy

from finds.models.case import Case
from finds.states import LOCKS
from people.models import User
from people.rights import Right
from web.append_only import AppendOnlyModel, AppendOnlyQuerySet
from web.once import OnceModel


class How(models.TextChoices):
    """How an authority was told."""

    IN_PERSON = "in person", _lazy("In person")
    TELEPHONE = "telephone", _lazy("By telephone")
    EMAIL = "e-mail", _lazy("By e-mail")
    FORM = "form", _lazy("On a form of theirs")
    LETTER = "letter", _lazy("By letter")
    OTHER = "other", _lazy("Otherwise")


class CaseReport(OnceModel, AppendOnlyModel):
    """The authority was told: when, by whom, to whom, how, and what shows it. It proves the day."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="tellings")
    on = models.DateField(_lazy("Reported on"))
    how = models.CharField(_lazy("How"), max_length=10, choices=How.choices)
    to = models.CharField(_lazy("To whom"), max_length=160)
    reference = models.CharField(_lazy("Their reference"), max_length=80, blank=True)
    words = models.TextField(_lazy("What was said"), blank=True)
    file = models.FileField(_lazy("Copy"), upload_to="", blank=True)
    file_name = models.CharField(max_length=160, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["pk"]
        constraints = [models.CheckConstraint(condition=Q(how__in=How.values), name="case_report_how_known")]

    def __str__(self) -> str:
        return f"report of {self.on:%-d %b %Y}"


class CaseStage(OnceModel, AppendOnlyModel):
    """A stage of the procedure that was reached. The last row about a stage counts; without a day it takes it back."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="stages")
    stage = models.CharField(max_length=40)  # law.stages.Stage.id
    on = models.DateField(null=True, blank=True)
    words = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.stage


class MessageQuerySet(AppendOnlyQuerySet["CaseMessage"]):
    def visible_to(self, user: User) -> Self:
        """The committee reads all; a finder reads their own with the committee, and nobody else's."""
        if user.holds(Right.REVIEW_CASES):
            return self
        return self.filter(finder=user, case__in=Case.objects.visible_to(user))

    def unanswered(self) -> Self:
        """Messages that ask for an answer and after which nobody has written."""
        later = CaseMessage.objects.filter(
            case=OuterRef("case"), finder=OuterRef("finder"), pk__gt=OuterRef("pk")
        )
        return self.filter(~Exists(later), asks=True)


class CaseMessage(OnceModel, AppendOnlyModel):
    """One message between one finder and the committee about a case."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="messages")
    finder = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    words = models.TextField(_lazy("Message"))
    asks = models.BooleanField(_lazy("An answer is wanted"), default=True)

    objects = MessageQuerySet.as_manager()  # type: ignore[misc]

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"message {self.pk}"

    @property
    def from_finder(self) -> bool:
        return self.by_id == self.finder_id


class TaskQuerySet(models.QuerySet["CaseTask"]):
    def visible_to(self, user: User) -> Self:
        """The committee sees all; others see what was given to them, as long as they see the case."""
        if user.holds(Right.REVIEW_CASES):
            return self
        return self.filter(whose=user, case__in=Case.objects.visible_to(user))

    def open(self) -> Self:
        """Not done, of a case that runs; the first due first."""
        rows = self.filter(done_at=None, case__state__in=LOCKS)
        return rows.order_by(models.F("due_on").asc(nulls_last=True), "pk")


class CaseTask(OnceModel):
    """Something one person is to do about a case, by a day. Once done it stays as it is."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="tasks")
    what = models.CharField(_lazy("What is to be done"), max_length=200)
    whose = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        related_name="case_tasks",
        verbose_name=_lazy("Who"),
    )
    due_on = models.DateField(_lazy("By when"), null=True, blank=True)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    done_at = models.DateTimeField(null=True, blank=True)
    done_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    done_words = models.CharField(_lazy("What came of it"), max_length=200, blank=True)

    objects: Any = TaskQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(done_at__isnull=True, done_by__isnull=True)
                | Q(done_at__isnull=False, done_by__isnull=False),
                name="case_task_done_by_somebody",
            ),
        ]

    def __str__(self) -> str:
        return self.what

    def is_late(self, today: date) -> bool:
        return self.done_at is None and self.due_on is not None and self.due_on < today
