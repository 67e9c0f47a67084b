"""A hole: where, how deep, what came out, and that it was filled."""

from typing import Any, Self

from django.conf import settings
from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy

from hunts.states import HoleState
from people.models import User
from people.rights import Right
from web.once import OnceModel
from web.position_model import PositionModel


class Outcome(models.TextChoices):
    FIND = "find", _lazy("Find kept")
    SCRAP = "scrap", _lazy("Scrap, taken away")
    IRON = "iron", _lazy("Iron, taken away")
    NOTHING = "nothing", _lazy("Nothing recovered")
    STOPPED = "stopped", _lazy("Stopped (bones, ordnance, deposit)")


class Ground(models.TextChoices):
    STUBBLE = "stubble", _lazy("Stubble")
    PLOUGH = "plough", _lazy("Plough")
    DRILLED = "drilled", _lazy("Drilled or rolled")
    PASTURE = "pasture", _lazy("Pasture")
    WOOD = "wood", _lazy("Woodland")
    BEACH_DRY = "dry sand", _lazy("Dry sand")
    BEACH_WET = "wet sand", _lazy("Wet salt sand")
    OTHER = "other", _lazy("Other")


class HoleQuerySet(models.QuerySet["Hole"]):
    def visible_to(self, user: User) -> Self:
        """The digger, the leader of that hunt, and those who see every hole."""
        if user.holds(Right.SEE_ALL_HOLES):
            return self
        return self.filter(Q(digger=user) | Q(hunt__leader=user)) if user.roles else self.none()

    def unfilled(self) -> Self:
        return self.filter(state=HoleState.DUG)


class Hole(OnceModel, PositionModel):
    """One place that was dug. `locked` is set when a find from it is under a possible duty."""

    hunt = models.ForeignKey("hunts.Hunt", on_delete=models.PROTECT, related_name="holes")
    site = models.ForeignKey("permissions.Site", on_delete=models.PROTECT, related_name="holes")
    number = models.PositiveIntegerField()  # running number within the hunt
    digger = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="holes")
    dug_at = models.DateTimeField(_lazy("Dug at"))
    depth_cm = models.PositiveIntegerField(_lazy("Depth (cm)"), validators=[MaxValueValidator(200)])
    ground = models.CharField(max_length=10, choices=Ground.choices, default=Ground.STUBBLE)
    outcome = models.CharField(max_length=10, choices=Outcome.choices)
    target_id = models.IntegerField(_lazy("Target ID shown"), null=True, blank=True)
    notes = models.CharField(_lazy("Notes"), max_length=300, blank=True)
    placing = models.CharField(max_length=10, blank=True)  # inside, outside, uncertain (geo.inside)
    placing_probability = models.FloatField(null=True, blank=True)
    locked = models.BooleanField(default=False)
    state = models.CharField(
        max_length=8, choices=[(s.value, _lazy(s.value)) for s in HoleState], default=HoleState.DUG
    )
    filled_at = models.DateTimeField(null=True, blank=True)
    filled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    checked_at = models.DateTimeField(null=True, blank=True)
    checked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    reopened_why = models.CharField(_lazy("Why it was reopened"), max_length=300, blank=True)

    objects = HoleQuerySet.as_manager()

    class Meta:
        ordering = ["hunt", "number"]
        constraints = [
            models.UniqueConstraint(fields=["hunt", "number"], name="hole_number_once_per_hunt"),
            models.CheckConstraint(
                condition=Q(state__in=[s.value for s in HoleState]), name="hole_state_known"
            ),
            models.CheckConstraint(
                condition=Q(state=HoleState.DUG.value) | Q(filled_at__isnull=False),
                name="hole_filled_has_time",
            ),
            models.CheckConstraint(
                condition=~Q(state=HoleState.CHECKED.value) | Q(checked_at__isnull=False),
                name="hole_checked_has_time",
            ),
            models.CheckConstraint(condition=Q(depth_cm__lte=200), name="hole_depth_plausible"),
        ]
        indexes = [models.Index(fields=["lat", "lon", "cell"], name="hole_lat_lon_cell")]

    def __str__(self) -> str:
        return f"hole {self.number}"


class PhotoModel(OnceModel):
    """Mixin: a photograph without metadata, its thumbnail, and the private original's digest."""

    display: Any = models.FileField(upload_to="photos/")
    thumb: Any = models.FileField(upload_to="photos/")
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    taken_at = models.DateTimeField(null=True, blank=True)
    original_sha256 = models.CharField(max_length=64)
    caption = models.CharField(_lazy("Caption"), max_length=160, blank=True)
    added_at = models.DateTimeField()
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        abstract = True


class HolePhoto(PhotoModel):
    """Before, open or after: the pair that proves a filled hole."""

    class Stage(models.TextChoices):
        BEFORE = "before", _lazy("Before")
        OPEN = "open", _lazy("Open")
        AFTER = "after", _lazy("Filled")

    hole = models.ForeignKey(Hole, on_delete=models.PROTECT, related_name="photos")
    stage = models.CharField(max_length=6, choices=Stage.choices)

    class Meta:
        ordering = ["hole", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["hole", "original_sha256", "stage"], name="hole_photo_once"),
        ]
