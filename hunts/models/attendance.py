"""Sign-up before the day and the roll call on it."""

from datetime import datetime
from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.timezone import localtime
from django.utils.translation import gettext_lazy as _lazy

from hunts.states import SignUpState
from people.models import User
from people.rights import Right
from web.once import OnceModel


class SignUpQuerySet(models.QuerySet["SignUp"]):
    def visible_to(self, user: User) -> Self:
        """Who comes is for those who run hunts, and for each person their own."""
        if user.holds(Right.RUN_HUNT) or user.holds(Right.SEE_PEOPLE):
            return self
        return self.filter(user=user)

    def standing(self) -> Self:
        """Sign-ups that hold a place, in the order they came."""
        return self.filter(state=SignUpState.IN).order_by("asked_at", "pk")

    def people_on(self, hunt_id: int) -> "models.QuerySet[SignUp, int]":
        """The keys of those who hold a place on that hunt."""
        return self.standing().filter(hunt=hunt_id).order_by().values_list("user", flat=True)

    def waiting(self) -> Self:
        """The waiting list, first come first."""
        return self.filter(state=SignUpState.WAITING).order_by("asked_at", "pk")


class SignUp(OnceModel):
    """One person's wish to come: in, waiting or withdrawn."""

    hunt = models.ForeignKey("hunts.Hunt", on_delete=models.PROTECT, related_name="sign_ups")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="sign_ups")
    state = models.CharField(max_length=10, choices=[(s.value, _lazy(s.value)) for s in SignUpState])
    asked_at = models.DateTimeField()
    promoted_at = models.DateTimeField(null=True, blank=True)
    briefed_at = models.DateTimeField(null=True, blank=True)
    briefed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = SignUpQuerySet.as_manager()

    class Meta:
        ordering = ["asked_at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["hunt", "user"], name="sign_up_once"),
            models.CheckConstraint(
                condition=Q(state__in=[s.value for s in SignUpState]), name="sign_up_state_known"
            ),
        ]

    def __str__(self) -> str:
        return f"sign-up {self.pk}"


class AttendanceQuerySet(models.QuerySet["Attendance"]):
    def out(self) -> Self:
        """People who came in and have not signed out."""
        return self.filter(signed_out_at__isnull=True)

    def late(self, at: datetime) -> Self:
        """People still out after their hunt's finish; the same edge as `Attendance.is_late`."""
        here = localtime(at)
        gone = Q(sign_up__hunt__on__lt=here.date())
        today = Q(sign_up__hunt__on=here.date(), sign_up__hunt__ends_at__lt=here.time())
        return self.out().filter(gone | today)


class Attendance(models.Model):
    """In and out on the day. Vehicle and emergency contact are copied so that the leader has them that day."""

    sign_up = models.OneToOneField(SignUp, on_delete=models.PROTECT, related_name="attendance")
    signed_in_at = models.DateTimeField()
    signed_in_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    signed_out_at = models.DateTimeField(null=True, blank=True)
    signed_out_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    vehicle = models.CharField(max_length=20, blank=True)
    emergency_contact = models.CharField(max_length=160, blank=True)

    objects = AttendanceQuerySet.as_manager()

    class Meta:
        ordering = ["signed_in_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(signed_out_at__isnull=True) | Q(signed_out_at__gte=F("signed_in_at")),
                name="attendance_out_after_in",
            ),
        ]

    @property
    def is_out(self) -> bool:
        return self.signed_out_at is None

    def is_late(self, at: datetime) -> bool:
        """Was or is this person out after the finish? `at` counts while they have not signed out."""
        return (self.signed_out_at or at) > self.sign_up.hunt.finishes
