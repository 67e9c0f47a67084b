"""A person's detectors, how they were set up on a hunt, and what the ground read."""

from typing import Any, Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _lazy

from hunts.nudges import WORDS
from people.models import User
from web.once import OnceModel


class CoilShape(models.TextChoices):
    DD_ROUND = "dd round", _lazy("Double-D, round")
    DD_LONG = "dd long", _lazy("Double-D, elliptical")
    CONCENTRIC = "concentric", _lazy("Concentric, round")
    CONCENTRIC_LONG = "concentric long", _lazy("Concentric, elliptical")
    MONO = "mono", _lazy("Single loop")
    OTHER = "other", _lazy("Other")


class OwnQuerySet(models.QuerySet[Any]):
    """Rows with a `user`: each person sees their own."""

    def visible_to(self, user: User) -> Self:
        """Kit and settings are each person's own affair."""
        return self.filter(user=user) if user.roles else self.none()


class KitQuerySet(OwnQuerySet):
    def in_use(self) -> Self:
        return self.filter(retired_on__isnull=True)


class Kit(OnceModel):
    """One detector with one coil. Makers' names are the owner's own words; nothing depends on them."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="kits")
    name = models.CharField(_lazy("What you call it"), max_length=40)
    machine = models.CharField(_lazy("Machine"), max_length=120, blank=True)
    coil_shape = models.CharField(
        _lazy("Coil"), max_length=16, choices=CoilShape.choices, default=CoilShape.DD_LONG
    )
    coil_length_cm = models.FloatField(
        _lazy("Coil length, front to back (cm)"), validators=[MinValueValidator(5), MaxValueValidator(120)]
    )
    coil_width_cm = models.FloatField(
        _lazy("Coil width (cm)"),
        null=True,
        blank=True,
        validators=[MinValueValidator(5), MaxValueValidator(120)],
    )
    frequency = models.CharField(_lazy("Frequency (kHz, or multi)"), max_length=40, blank=True)
    battery_hours = models.FloatField(
        _lazy("Battery run time when full (hours)"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0.5), MaxValueValidator(200)],
    )
    ground_scale = models.CharField(_lazy("Scale of its ground setting"), max_length=40, blank=True)
    added_at = models.DateTimeField()
    retired_on = models.DateField(_lazy("No longer used from"), null=True, blank=True)

    objects = KitQuerySet.as_manager()

    class Meta:
        ordering = ["retired_on", "name", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(coil_length_cm__gte=5, coil_length_cm__lte=120), name="kit_coil_plausible"
            ),
            models.CheckConstraint(
                condition=Q(battery_hours__isnull=True) | Q(battery_hours__gt=0), name="kit_battery_positive"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class SetUp(OnceModel):
    """How a detector was set from `set_at` on a hunt until the next set-up of the same person."""

    hunt = models.ForeignKey("hunts.Hunt", on_delete=models.PROTECT, related_name="set_ups")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="set_ups")
    kit = models.ForeignKey(Kit, on_delete=models.PROTECT, related_name="set_ups")
    set_at = models.DateTimeField(_lazy("From when"))
    mode = models.CharField(_lazy("Mode or programme"), max_length=60)
    sensitivity = models.CharField(_lazy("Sensitivity"), max_length=20, blank=True)
    recovery_speed = models.CharField(_lazy("Recovery speed"), max_length=20, blank=True)
    discrimination = models.CharField(_lazy("Discrimination and iron reject"), max_length=60, blank=True)
    threshold = models.CharField(_lazy("Threshold"), max_length=20, blank=True)
    battery_start = models.PositiveIntegerField(
        _lazy("Battery at the start (%)"), null=True, blank=True, validators=[MaxValueValidator(100)]
    )
    battery_end = models.PositiveIntegerField(
        _lazy("Battery at the end (%)"), null=True, blank=True, validators=[MaxValueValidator(100)]
    )
    hours = models.FloatField(
        _lazy("Hours run"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(24)],
    )
    notes = models.CharField(_lazy("Notes"), max_length=300, blank=True)

    objects = OwnQuerySet.as_manager()

    class Meta:
        ordering = ["set_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=(Q(battery_start__isnull=True) | Q(battery_start__lte=100))
                & (Q(battery_end__isnull=True) | Q(battery_end__lte=100)),
                name="set_up_battery_is_percent",
            ),
            models.CheckConstraint(
                condition=Q(battery_start__isnull=True)
                | Q(battery_end__isnull=True)
                | Q(battery_end__lte=F("battery_start")),
                name="set_up_battery_falls",
            ),
        ]

    def __str__(self) -> str:
        return f"set-up {self.pk}"


class GroundReading(OnceModel):
    """The ground setting in one kind of ground at one time, on this machine's own scale and no other."""

    hunt = models.ForeignKey("hunts.Hunt", on_delete=models.PROTECT, related_name="ground_readings")
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="ground_readings"
    )
    kit = models.ForeignKey(Kit, on_delete=models.PROTECT, related_name="ground_readings")
    read_at = models.DateTimeField(_lazy("When"))
    environment = models.CharField(
        _lazy("What ground"), max_length=12, choices=[(e.value, _lazy(words)) for e, words in WORDS.items()]
    )
    value: Any = models.DecimalField(
        _lazy("Ground setting shown"),
        max_digits=7,
        decimal_places=2,
        validators=[MinValueValidator(-9999), MaxValueValidator(9999)],
    )
    scale = models.CharField(_lazy("On which scale"), max_length=40)
    notes = models.CharField(_lazy("Notes"), max_length=200, blank=True)

    objects = OwnQuerySet.as_manager()

    class Meta:
        ordering = ["read_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(environment__in=[e.value for e in WORDS]), name="ground_reading_environment_known"
            ),
        ]

    def __str__(self) -> str:
        return f"ground reading {self.pk}"


class CareTick(OnceModel):
    """One task of a care checklist, done on a day; `since` is the day that made the list due."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    kit = models.ForeignKey(Kit, on_delete=models.PROTECT, related_name="care_ticks")
    occasion = models.CharField(
        max_length=8, choices=[("salt", _lazy("After salt water")), ("storage", _lazy("Before storage"))]
    )
    since = models.DateField()
    task = models.CharField(max_length=12)
    done_on = models.DateField(_lazy("Done on"))

    objects = OwnQuerySet.as_manager()

    class Meta:
        ordering = ["done_on", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["kit", "occasion", "since", "task"], name="care_tick_once"),
        ]
