"""A member's own outing with a time to be back, and the alarms that were sent."""

from datetime import datetime
from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from people.rights import Right
from web.once import OnceModel

STEPS_MIN = (30, 60)
"""Minutes overdue at which others are told (common practice)."""


class LoneHuntQuerySet(models.QuerySet["LoneHunt"]):
    def visible_to(self, user: User) -> Self:
        """One's own; those who run hunts see who is out now, because they may have to look for them."""
        if not user.roles:
            return self.none()
        if user.holds(Right.RUN_HUNT):
            return self.filter(Q(user=user) | Q(back_at__isnull=True))
        return self.filter(user=user)

    def away(self) -> Self:
        """Not back yet."""
        return self.filter(back_at__isnull=True)

    def overdue(self, at: datetime) -> Self:
        return self.away().filter(due_back__lt=at)


class LoneHunt(OnceModel):
    """One person out alone: where, until when, and who is to be called."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="lone_hunts")
    site = models.ForeignKey(
        "permissions.Site", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    where = models.CharField(_lazy("Where you will be, and where you leave the car"), max_length=200)
    out_at = models.DateTimeField(_lazy("Out from"))
    due_back = models.DateTimeField(_lazy("Due back"))
    tide = models.CharField(_lazy("Tide: times of high and low water"), max_length=80, blank=True)
    contact_name = models.CharField(_lazy("Who knows that you are out"), max_length=120)
    contact_phone = models.CharField(_lazy("Their phone"), max_length=40)
    contact_email = models.EmailField(_lazy("Their e-mail"), blank=True)
    gate_asked = models.CharField(
        _lazy("Who said yes where the gate says to ask"), max_length=300, blank=True
    )
    back_at = models.DateTimeField(null=True, blank=True)
    back_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = LoneHuntQuerySet.as_manager()

    class Meta:
        ordering = ["-out_at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(due_back__gt=F("out_at")), name="lone_hunt_due_after_out"),
        ]

    def __str__(self) -> str:
        return f"lone hunt {self.pk}"


class LateNotice(models.Model):
    """One alarm that was sent, so that the same one is never sent twice; `due_at` is the time that was missed."""

    hunt = models.ForeignKey("hunts.Hunt", null=True, on_delete=models.PROTECT, related_name="late_notices")
    lone = models.ForeignKey(LoneHunt, null=True, on_delete=models.PROTECT, related_name="late_notices")
    minutes = models.PositiveIntegerField()
    due_at = models.DateTimeField()
    sent_at = models.DateTimeField()
    sent_to = models.PositiveIntegerField()  # how many people; their addresses are not kept

    class Meta:
        ordering = ["sent_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(hunt__isnull=True, lone__isnull=False) | Q(hunt__isnull=False, lone__isnull=True),
                name="late_notice_about_one",
            ),
            models.UniqueConstraint(
                fields=["hunt", "minutes", "due_at"],
                condition=Q(hunt__isnull=False),
                name="late_notice_once_per_hunt",
            ),
            models.UniqueConstraint(
                fields=["lone", "minutes", "due_at"],
                condition=Q(lone__isnull=False),
                name="late_notice_once_per_lone_hunt",
            ),
        ]
