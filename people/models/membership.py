"""Periods: membership, insurance and roles, each with its first and last day."""

from datetime import date
from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _lazy

from people.rights import ROLE_NAMES, Role


class PeriodQuerySet(models.QuerySet["PeriodModel"]):
    def covering(self, day: date) -> Self:
        """Periods whose first day is on or before `day` and whose last day is on or after it."""
        return self.filter(starts__lte=day, ends__gte=day)


class PeriodModel(models.Model):
    """Mixin: first and last day, both included."""

    starts = models.DateField(_lazy("First day"))
    ends = models.DateField(_lazy("Last day"))

    objects = PeriodQuerySet.as_manager()

    class Meta:
        abstract = True
        ordering = ["-ends", "-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(ends__gte=F("starts")), name="%(class)s_ends_after_start"),
        ]


class Membership(PeriodModel):
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="memberships")


class Insurance(PeriodModel):
    """Public liability cover that a person showed; the policy year differs from the membership year."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="insurances")
    insurer = models.CharField(_lazy("Insurer or association"), max_length=120)
    policy_number = models.CharField(_lazy("Card or policy number"), max_length=60, blank=True)
    cover_pounds = models.PositiveBigIntegerField(_lazy("Cover"), default=10_000_000)


class RoleHeldQuerySet(models.QuerySet["RoleHeld"]):
    def current(self, day: date) -> Self:
        """Roles given on or before `day` and not yet taken back on it."""
        return self.filter(Q(ends__isnull=True) | Q(ends__gt=day), starts__lte=day)


class RoleHeld(models.Model):
    """A role beyond member, from a day until it is taken back."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="roles_held")
    role = models.CharField(
        max_length=12, choices=[(r.value, ROLE_NAMES[r]) for r in Role if r != Role.MEMBER]
    )
    starts = models.DateField()
    ends = models.DateField(null=True, blank=True)

    objects = RoleHeldQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(role__in=[r.value for r in Role if r != Role.MEMBER]), name="role_held_known"
            ),
            models.UniqueConstraint(
                fields=["user", "role"], condition=Q(ends__isnull=True), name="role_held_once"
            ),
        ]
