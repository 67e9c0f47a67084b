"""A look at a filled hole on grass some weeks later, when the plug has settled or has not."""

from typing import Self

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _lazy

from hunts.models.hole import Hole
from people.models import User
from web.once import OnceModel


class HoleRecheckQuerySet(models.QuerySet["HoleRecheck"]):
    def visible_to(self, user: User) -> Self:
        return self.filter(hole__in=Hole.objects.visible_to(user))


class HoleRecheck(OnceModel):
    """Somebody went back: sound, or sunk and opened again."""

    hole = models.ForeignKey("hunts.Hole", on_delete=models.PROTECT, related_name="rechecks")
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    sound = models.BooleanField()
    words = models.CharField(_lazy("What you saw"), max_length=300, blank=True)

    objects = HoleRecheckQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]
