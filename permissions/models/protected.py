"""Layers of protected places out of open data, and how they lie to the club's sites."""

from typing import Any, Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from people.rights import Right
from web.once import OnceModel


class ProtectedLayerQuerySet(models.QuerySet["ProtectedLayer"]):
    def visible_to(self, user: User) -> Self:
        """The layers are open data; they are for everybody who plans on the land."""
        return self if user.holds(Right.SEE_ALL_LAND) else self.none()


class ProtectedLayer(OnceModel):
    """One register or map of protected places as it was on `data_on`.

    Only the places inside the box min_lat to max_lon were kept; outside it the layer says nothing.
    """

    name = models.CharField(_lazy("Name of the layer"), max_length=120)
    kind = models.CharField(_lazy("What its places are"), max_length=80)
    source = models.CharField(_lazy("Source"), max_length=200)
    licence = models.CharField(_lazy("Licence of the data"), max_length=160)
    data_on = models.DateField(_lazy("The data are of"))
    buffer_m = models.FloatField(
        _lazy("Margin around each place (m)"),
        default=20,
        validators=[MinValueValidator(0), MaxValueValidator(5000)],
    )
    is_check = models.BooleanField(_lazy("Counts as the yearly check"), default=False)
    filename = models.CharField(max_length=160, blank=True)
    imported_at = models.DateTimeField()
    imported_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    min_lat = models.FloatField()
    min_lon = models.FloatField()
    max_lat = models.FloatField()
    max_lon = models.FloatField()

    objects = ProtectedLayerQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name


class ProtectedPlace(models.Model):
    """One protected place: an outline, a line or a point."""

    layer = models.ForeignKey(ProtectedLayer, on_delete=models.CASCADE, related_name="places")
    name = models.CharField(max_length=120)
    reference = models.CharField(max_length=60, blank=True)
    geometry: Any = models.JSONField()
    min_lat = models.FloatField()
    min_lon = models.FloatField()
    max_lat = models.FloatField()
    max_lon = models.FloatField()

    class Meta:
        ordering = ["name", "pk"]
        # Latitude first: a short band of the country instead of half of it.
        indexes = [models.Index(fields=["min_lat", "max_lat", "min_lon", "max_lon"], name="place_bounds")]

    def __str__(self) -> str:
        return f"{self.name} ({self.reference})" if self.reference else self.name


class ProtectedNear(models.Model):
    """A protected place that a site touches or comes close to: worked out when a layer or a boundary changes."""

    class Relation(models.TextChoices):
        TOUCHES = "touches", _lazy("On this site: shut")
        IN_BUFFER = "in_buffer", _lazy("Close by: ask")

    site = models.ForeignKey("permissions.Site", on_delete=models.CASCADE, related_name="protected_near")
    place = models.ForeignKey(ProtectedPlace, on_delete=models.CASCADE, related_name="near")
    relation = models.CharField(max_length=9, choices=Relation.choices)
    distance_m = models.FloatField()

    class Meta:
        ordering = ["distance_m", "pk"]
        constraints = [models.UniqueConstraint(fields=["site", "place"], name="protected_near_once")]
