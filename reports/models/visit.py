"""What a leader adds to a visit report before it is issued, and whom the club has thanked for a year."""

from typing import Self

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from people.rights import Right
from web.once import OnceModel


class VisitDraft(models.Model):
    """The leader's part of the visit report; their paragraph is the hunt's own `leader_report`."""

    hunt = models.OneToOneField("hunts.Hunt", on_delete=models.PROTECT, related_name="visit_draft")
    name_people = models.BooleanField(_lazy("Name the people who came"), default=True)
    decide = models.TextField(_lazy("For the landholder to decide"), blank=True)
    next_dates = models.CharField(_lazy("Dates we ask for next"), max_length=300, blank=True)
    changed_at = models.DateTimeField()
    changed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["hunt"]

    def __str__(self) -> str:
        return f"visit report draft of {self.hunt_id}"


class ThanksQuerySet(models.QuerySet["Thanks"]):
    def visible_to(self, user: User) -> Self:
        """Names of landholders are for those who see landholders."""
        return self if user.holds(Right.SEE_LANDHOLDERS) else self.none()


class Thanks(OnceModel):
    """A landholder was thanked for a year: with what, on which day. `year` is when the season began."""

    landholder = models.ForeignKey("permissions.Landholder", on_delete=models.PROTECT, related_name="thanks")
    year = models.PositiveIntegerField()
    on = models.DateField(_lazy("Thanked on"))
    how = models.CharField(_lazy("With what"), max_length=200)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    objects = ThanksQuerySet.as_manager()

    class Meta:
        ordering = ["-year", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["landholder", "year"], name="thanked_once_a_year"),
        ]

    def __str__(self) -> str:
        return f"thanks {self.pk}"
