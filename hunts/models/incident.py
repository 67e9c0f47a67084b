"""Something went wrong or had to stop: gate, stock, damage, injury, bones, ordnance, a deposit."""

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from people.models import User
from people.rights import Right
from web.once import OnceModel
from web.position_model import PositionModel


class IncidentQuerySet(models.QuerySet["Incident"]):
    def visible_to(self, user: User) -> Self:
        """The one who recorded it, the leader of that hunt, and those who see every hole."""
        if user.holds(Right.SEE_ALL_HOLES):
            return self
        return self.filter(Q(recorded_by=user) | Q(hunt__leader=user)) if user.roles else self.none()


class Incident(OnceModel, PositionModel):
    """One incident on a hunt, and who was told."""

    class Kind(models.TextChoices):
        REMAINS = "remains", "Bones that may be human"
        ORDNANCE = "ordnance", "Ordnance"
        DEPOSIT = "deposit", "Objects lying as they were left"
        INJURY = "injury", "Injury or illness"
        STOCK = "stock", "Livestock"
        GATE = "gate", "Gate, fence or crop"
        SERVICES = "services", "Buried service, pipe or cable"
        TRESPASS = "trespass", "Strangers on the land"
        OTHER = "other", "Other"

    hunt = models.ForeignKey("hunts.Hunt", on_delete=models.PROTECT, related_name="incidents")
    hole = models.ForeignKey(
        "hunts.Hole", null=True, blank=True, on_delete=models.PROTECT, related_name="incidents"
    )
    kind = models.CharField("What kind", max_length=10, choices=Kind.choices)
    happened_at = models.DateTimeField("When")
    words = models.TextField("What happened")
    told = models.CharField("Who was told, and when", max_length=300, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    locked = models.BooleanField(default=False)  # bones, ordnance and deposits: the place is not shown round

    objects = IncidentQuerySet.as_manager()

    class Meta:
        ordering = ["-happened_at", "-pk"]

    def __str__(self) -> str:
        return self.get_kind_display()
