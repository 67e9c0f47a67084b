"""Bench tests: a fixed set of items passed under the coil at fixed distances."""

from statistics import median
from typing import Any

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy

from hunts.models.kit import OwnQuerySet
from web.once import OnceModel


class Item(models.TextChoices):
    """The fixed set, in the order it is passed under the coil (common practice)."""

    SILVER_THIN = "thin silver", _lazy("Thin hammered silver")
    COPPER_SMALL = "small copper", _lazy("Small copper coin")
    COPPER_LARGE = "large copper", _lazy("Large copper coin")
    LEAD_SHOT = "lead shot", _lazy("Lead shot")
    GOLD_RING = "gold ring", _lazy("Gold ring")
    NAIL = "nail", _lazy("Iron nail")
    FOIL = "foil", _lazy("Foil")
    CAN_SLUG = "can slug", _lazy("Can slug")


COINS = (Item.SILVER_THIN, Item.COPPER_SMALL, Item.COPPER_LARGE)
IRON = (Item.NAIL,)


class Orientation(models.TextChoices):
    FACE = "face", _lazy("Flat, one face")
    BACK = "back", _lazy("Flat, other face")
    EDGE = "edge", _lazy("On edge")


DISTANCES = [(8, "8 cm"), (10, "10 cm")]
"""Centimetres between coil and item; common practice, no standard."""


class BenchTest(OnceModel):
    """One item, one distance, one way up, one mode: heard or not, and up to three target IDs."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="bench_tests")
    kit = models.ForeignKey("hunts.Kit", on_delete=models.PROTECT, related_name="bench_tests")
    mode = models.CharField(_lazy("Mode or programme"), max_length=60)
    item = models.CharField(_lazy("Item"), max_length=12, choices=Item.choices)
    distance_cm = models.PositiveIntegerField(_lazy("Distance"), choices=DISTANCES)
    orientation = models.CharField(_lazy("Which way up"), max_length=4, choices=Orientation.choices)
    heard = models.BooleanField(_lazy("Heard"))
    first = models.IntegerField(
        _lazy("First reading"),
        null=True,
        blank=True,
        validators=[MinValueValidator(-999), MaxValueValidator(999)],
    )
    second = models.IntegerField(
        _lazy("Second reading"),
        null=True,
        blank=True,
        validators=[MinValueValidator(-999), MaxValueValidator(999)],
    )
    third = models.IntegerField(
        _lazy("Third reading"),
        null=True,
        blank=True,
        validators=[MinValueValidator(-999), MaxValueValidator(999)],
    )
    tested_at = models.DateTimeField()

    objects = OwnQuerySet.as_manager()

    class Meta:
        ordering = ["-tested_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(heard=True) | Q(first__isnull=True, second__isnull=True, third__isnull=True),
                name="bench_unheard_has_no_reading",
            ),
            models.CheckConstraint(condition=Q(item__in=Item.values), name="bench_item_known"),
            models.CheckConstraint(
                condition=Q(orientation__in=Orientation.values), name="bench_orientation_known"
            ),
        ]

    @property
    def readings(self) -> tuple[int, ...]:
        """The readings that were given, in order."""
        return tuple(each for each in (self.first, self.second, self.third) if each is not None)

    @property
    def summary(self) -> dict[str, Any] | None:
        """Lowest, middle and highest reading, or None where it was not heard or showed no number."""
        if not self.readings:
            return None
        return {"min": min(self.readings), "median": median(self.readings), "max": max(self.readings)}
