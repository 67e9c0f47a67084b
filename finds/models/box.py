"""Storage boxes: what kind of things they hold, what the humidity card in them said, and what lies in them now."""

from typing import Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.utils.translation import gettext_lazy as _lazy

from web.append_only import AppendOnlyModel, AppendOnlyQuerySet
from web.once import OnceModel


class BoxKind(models.TextChoices):
    IRON = "iron", _lazy("Iron, dry with silica gel")
    COPPER = "copper", _lazy("Copper alloy, dry with silica gel")
    DRY = "dry", _lazy("Silver, gold and lead, dry and padded")
    DAMP = "damp", _lazy("Leather, wood and textile, kept damp")
    ROOM = "room", _lazy("Pottery, glass, bone and stone, room air")


class Box(OnceModel):
    """One box. It is no holder: whoever holds the object keeps it in here."""

    name = models.CharField(_lazy("Name on the lid"), max_length=60, unique=True)
    kept_at = models.CharField(_lazy("Where it stands"), max_length=160)
    kind = models.CharField(_lazy("For"), max_length=6, choices=BoxKind.choices)
    has_gel = models.BooleanField(_lazy("With silica gel"), default=False)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    retired_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=BoxKind.values), name="box_kind_known"),
        ]

    def __str__(self) -> str:
        return self.name


class BoxReading(OnceModel, AppendOnlyModel):
    """What the card said on a day, and whether the gel was dried or changed then."""

    box = models.ForeignKey(Box, on_delete=models.PROTECT, related_name="readings")
    on = models.DateField(_lazy("Read on"))
    humidity_percent = models.PositiveSmallIntegerField(
        _lazy("Card says (% relative humidity)"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(100)],
    )
    gel_changed = models.BooleanField(_lazy("Gel dried or changed"), default=False)
    notes = models.CharField(_lazy("Notes"), max_length=200, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["-on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(humidity_percent__isnull=True) | Q(humidity_percent__lte=100),
                name="box_humidity_to_100",
            ),
            models.CheckConstraint(
                condition=Q(humidity_percent__isnull=False) | Q(gel_changed=True), name="box_reading_says"
            ),
        ]

    def __str__(self) -> str:
        return f"box reading {self.pk}"


class BoxMoveQuerySet(AppendOnlyQuerySet["BoxMove"]):
    def current(self) -> Self:
        """Where each find lies: the newest move, where it was into a box."""
        after = BoxMove.objects.filter(find=OuterRef("find"), step=OuterRef("step") + 1)
        return self.filter(~Exists(after), box__isnull=False)


class BoxMove(AppendOnlyModel):
    """A find into a box, or out of the one it was in. `step` counts from 1 per find."""

    find = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="box_moves")
    step = models.PositiveIntegerField()
    box = models.ForeignKey(Box, null=True, blank=True, on_delete=models.PROTECT, related_name="moves")
    at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = BoxMoveQuerySet.as_manager()  # type: ignore[misc]

    class Meta:
        ordering = ["find", "step"]
        constraints = [models.UniqueConstraint(fields=["find", "step"], name="box_step_once")]

    def __str__(self) -> str:
        return f"box move {self.pk}"
