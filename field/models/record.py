"""What came of a record from a phone: stored once, or parked with the reason until somebody sees to it."""

from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from people.rights import Right
from web.once import OnceModel


class Reason(models.TextChoices):
    """Why a record is parked, in words that tell others nothing of its content."""

    OVER = "over", _lazy("The hunt was closed or called off meanwhile")
    NOT_STARTED = "not started", _lazy("The hunt has not been started")
    PLACE = "place", _lazy("No place on the hunt")
    TIME = "time", _lazy("The time is not on the day of the hunt")
    VALUE = "value", _lazy("Something in it cannot be kept like this")
    BELONGS = "belongs", _lazy("It belongs to a record that is not stored")
    HUNT = "hunt", _lazy("The hunt is not there")
    UNKNOWN = "unknown", _lazy("It cannot be read as a record")
    FAULT = "fault", _lazy("A fault of the server")


class State(models.TextChoices):
    STORED = "stored", _lazy("Stored")
    PARKED = "parked", _lazy("Waits for a person")
    LEFT_OUT = "left out", _lazy("Left out")


class PhoneRecordQuerySet(models.QuerySet["PhoneRecord"]):
    def visible_to(self, user: User) -> Self:
        """One's own; that something is parked also the hunt's leader and those who see every hole learn.

        What it says, with its place, is for its owner alone: `own_of`.
        """
        if user.holds(Right.SEE_ALL_HOLES):
            return self
        return self.filter(Q(owner=user) | Q(hunt__leader=user)) if user.roles else self.none()

    def own_of(self, user: User) -> Self:
        return self.filter(owner=user) if user.roles else self.none()

    def parked(self) -> Self:
        return self.filter(state=State.PARKED)


class PhoneRecord(OnceModel):
    """One record by its key. `sent` holds it as it was sent while it is parked or left out, and nothing once stored."""

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="phone_records"
    )
    hunt = models.ForeignKey("hunts.Hunt", null=True, on_delete=models.PROTECT, related_name="phone_records")
    kind = models.CharField(max_length=10)
    digest = models.CharField(max_length=64)  # of the record as it was sent: a later wording is known by it
    belongs_to = models.UUIDField(null=True)
    state = models.CharField(max_length=8, choices=State.choices, default=State.PARKED)
    reason = models.CharField(max_length=12, choices=Reason.choices, blank=True)
    why = models.TextField(blank=True)  # for the owner: it may name a place
    sent: Any = models.JSONField(null=True)
    came_at = models.DateTimeField()
    settled_at = models.DateTimeField(null=True)  # stored or left out
    let_in_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    left_out_why = models.CharField(max_length=300, blank=True)
    made = models.CharField(max_length=40, blank=True)  # the model that it became
    made_pk = models.BigIntegerField(null=True)
    label = models.CharField(max_length=160, blank=True)

    objects = PhoneRecordQuerySet.as_manager()

    class Meta:
        ordering = ["came_at", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(state__in=State.values), name="phone_record_state_known"),
            models.CheckConstraint(
                condition=Q(state=State.STORED, sent__isnull=True)
                | Q(~Q(state=State.STORED), sent__isnull=False),
                name="phone_record_keeps_what_is_not_stored",
            ),
            models.CheckConstraint(
                condition=~Q(state=State.PARKED) | ~Q(reason=""), name="phone_record_parked_says_why"
            ),
            models.CheckConstraint(
                condition=~Q(state=State.LEFT_OUT) | ~Q(left_out_why=""),
                name="phone_record_left_out_says_why",
            ),
        ]
        indexes = [models.Index(fields=["owner", "state"], name="phone_record_owner_state")]

    def __str__(self) -> str:
        return f"record {self.pk} from a phone"
