"""A visit to the heritage officer with finds of several people: who goes, with what, and what was handed over."""

from datetime import date
from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy

from finds.models.custody import AUTHORITY, Holder
from people.models import User
from people.rights import Right
from reports.states import OfficerVisitState
from web.once import OnceModel


class OfficerVisitQuerySet(models.QuerySet["OfficerVisit"]):
    def visible_to(self, user: User) -> Self:
        """Those who keep custody. A visit names no findspot."""
        return self if user.holds(Right.MOVE_CUSTODY) else self.none()

    def planned(self) -> Self:
        """Visits still to come or not recorded yet, the first first."""
        return self.filter(state=OfficerVisitState.PLANNED).order_by("on", "pk")


class OfficerVisit(OnceModel):
    """Finds taken to an authority together on one day. Recording it hands each over to the officer."""

    number = models.CharField(max_length=20, unique=True)
    year = models.PositiveIntegerField()
    serial = models.PositiveIntegerField()
    state = models.CharField(
        max_length=10,
        choices=[(s.value, _lazy(s.value)) for s in OfficerVisitState],
        default=OfficerVisitState.PLANNED,
    )
    on = models.DateField(_lazy("Day of the visit"))
    place = models.CharField(_lazy("Where"), max_length=160, blank=True)
    to_holder = models.CharField(
        _lazy("Handed to"),
        max_length=11,
        choices=[(holder.value, holder.label) for holder in AUTHORITY],
        default=Holder.OFFICER,
    )
    to_name = models.CharField(_lazy("Their name"), max_length=160)
    to_details = models.CharField(_lazy("How to reach them"), max_length=200, blank=True)
    purpose = models.CharField(_lazy("What for"), max_length=160)
    due_back = models.DateField(_lazy("Due back"), null=True, blank=True)
    taken_by = models.CharField(_lazy("Who takes them"), max_length=160)
    planned_at = models.DateTimeField()
    planned_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    evidence = models.CharField(_lazy("What shows that they were received"), max_length=200, blank=True)
    why = models.CharField(_lazy("Why it was called off"), max_length=300, blank=True)

    objects = OfficerVisitQuerySet.as_manager()

    class Meta:
        ordering = ["-on", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["year", "serial"], name="officer_visit_number_once"),
            models.CheckConstraint(
                condition=Q(state__in=[s.value for s in OfficerVisitState]), name="officer_visit_state_known"
            ),
            models.CheckConstraint(
                condition=Q(state=OfficerVisitState.PLANNED, ended_at__isnull=True)
                | Q(~Q(state=OfficerVisitState.PLANNED), ended_at__isnull=False),
                name="officer_visit_ended_with_time",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    def is_late(self, today: date) -> bool:
        """Its day is gone and nobody has recorded how it went."""
        return self.state == OfficerVisitState.PLANNED and self.on < today


class OfficerVisitItem(models.Model):
    """One object of a visit; `hand_over` once it was handed over, `why` if it was not."""

    visit = models.ForeignKey(OfficerVisit, on_delete=models.CASCADE, related_name="items")
    find: Any = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="officer_visits")
    condition = models.CharField(_lazy("Condition"), max_length=200, blank=True)
    why = models.CharField(_lazy("Why it was not handed over"), max_length=200, blank=True)
    hand_over = models.ForeignKey(
        "finds.HandOver", null=True, blank=True, on_delete=models.PROTECT, related_name="officer_visit_items"
    )

    class Meta:
        ordering = ["visit", "find__number", "pk"]
        constraints = [models.UniqueConstraint(fields=["visit", "find"], name="officer_visit_item_once")]

    def __str__(self) -> str:
        return f"visit item {self.pk}"
