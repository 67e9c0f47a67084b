"""How a hunt's ground is to be swept, and what was put into it, found or not."""

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q


class HuntPlan(models.Model):
    """The sweep as planned: once a hunt. The defaults are common practice; hunts/sweep.py says which."""

    hunt = models.OneToOneField("hunts.Hunt", on_delete=models.CASCADE, related_name="ground_plan")
    coil_m = models.FloatField(default=0.28)
    overlap = models.FloatField(default=0.5)  # share of the coil
    swing_m_s = models.FloatField(default=0.9)
    swath_m = models.FloatField(default=1.5)
    spacing_m = models.FloatField(default=1.5)
    heading_deg = models.FloatField(null=True, blank=True)  # null: the best one
    targets_per_ha = models.FloatField(default=100)
    minutes_per_dig = models.FloatField(default=4)
    people = models.PositiveIntegerField(default=1, validators=[MinValueValidator(1)])
    hours = models.FloatField(default=5)
    changed_at = models.DateTimeField(null=True)
    changed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["hunt"]
        constraints = [
            models.CheckConstraint(
                condition=Q(coil_m__gt=0, swing_m_s__gt=0, swath_m__gt=0, spacing_m__gt=0, hours__gt=0),
                name="hunt_plan_above_zero",
            ),
            models.CheckConstraint(
                condition=Q(overlap__gte=0, overlap__lt=1), name="hunt_plan_overlap_share"
            ),
            models.CheckConstraint(condition=Q(people__gte=1), name="hunt_plan_has_people"),
        ]

    def __str__(self) -> str:
        return f"ground plan of {self.hunt_id}"


class BlankGround(models.Model):
    """People, hours and ground of a closed hunt, kept whatever came out: nothing found is a result too."""

    hunt = models.OneToOneField("hunts.Hunt", on_delete=models.CASCADE, related_name="blank_ground")
    people = models.PositiveIntegerField()
    hours = models.FloatField()  # person-hours between sign-in and sign-out
    searchable_m2 = models.FloatField()  # boundaries of the day less no-go ground

    class Meta:
        ordering = ["hunt"]
        constraints = [
            models.CheckConstraint(
                condition=Q(hours__gte=0, searchable_m2__gte=0), name="blank_ground_not_below_0"
            )
        ]
