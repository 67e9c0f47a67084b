"""The columns of a position: what was entered beside what was computed from it."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _lazy

MOST_TEXT = 1200
"""Characters of what was entered: twenty readings with accuracy and time."""


class Method(models.TextChoices):
    DEVICE = "device", _lazy("Phone or receiver")
    AVERAGED = "averaged", _lazy("Averaged fixes")
    TYPED = "typed", _lazy("Typed reference")
    MAP = "map", _lazy("Tapped on the map")
    PHOTO = "photo", _lazy("From a photograph")
    NONE = "", _lazy("Not fixed")


class PositionModel(models.Model):
    """Mixin: WGS84 position with its 95 % accuracy in metres, and the text it came from.

    Never read these columns in a view, template or report: a point leaves through people/sensitivity.py.
    """

    lon = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(-180), MaxValueValidator(180)]
    )
    lat = models.FloatField(null=True, blank=True, validators=[MinValueValidator(-90), MaxValueValidator(90)])
    accuracy_m = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    position_method = models.CharField(max_length=10, choices=Method.choices, blank=True, default="")
    position_text = models.CharField(
        max_length=MOST_TEXT, blank=True, default=""
    )  # several readings: a line each
    position_system = models.CharField(max_length=40, blank=True, default="")
    transformation = models.CharField(max_length=120, blank=True, default="")
    transformation_accuracy_m = models.FloatField(null=True, blank=True)
    cell = models.BigIntegerField(
        null=True, blank=True, editable=False
    )  # geo.morton.cell_of, for map clusters

    class Meta:
        abstract = True

    @property
    def is_fixed(self) -> bool:
        return self.lon is not None and self.lat is not None
