"""An official licence or consent to search, where the law of the place asks for one."""

from typing import Any

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _lazy

from web.once import OnceModel


class Licence(OnceModel):
    """A licence as granted: number, authority, sites and days."""

    code = models.CharField(_lazy("Which licence"), max_length=60)  # the law pack's code of what it lifts
    number = models.CharField(_lazy("Number"), max_length=80)
    authority = models.CharField(_lazy("Granted by"), max_length=160)
    sites: Any = models.ManyToManyField("permissions.Site", related_name="licences")
    starts = models.DateField(_lazy("First day"))
    ends = models.DateField(_lazy("Last day"))

    class Meta:
        ordering = ["-ends", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(ends__gte=F("starts")), name="licence_ends_after_start")
        ]

    def __str__(self) -> str:
        return self.number
