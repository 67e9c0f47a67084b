"""The choices of a find's record."""

from django.db import models
from django.utils.translation import gettext_lazy as _lazy


class Certainty(models.TextChoices):
    CERTAIN = "certain", _lazy("Certain")
    PROBABLE = "probable", _lazy("Probable")
    POSSIBLE = "possible", _lazy("Possible")
    UNKNOWN = "unknown", _lazy("Not known")


class Tri(models.TextChoices):
    YES = "yes", _lazy("Yes")
    NO = "no", _lazy("No")
    UNKNOWN = "unknown", _lazy("Not known")


class Material(models.TextChoices):
    GOLD = "gold", _lazy("Gold")
    SILVER = "silver", _lazy("Silver")
    COPPER_ALLOY = "copper alloy", _lazy("Copper alloy")
    LEAD = "lead", _lazy("Lead or lead alloy")
    IRON = "iron", _lazy("Iron")
    TIN = "tin", _lazy("Tin or pewter")
    OTHER_METAL = "other metal", _lazy("Other metal")
    POTTERY = "pottery", _lazy("Pottery")
    FLINT = "flint", _lazy("Flint or stone")
    GLASS = "glass", _lazy("Glass")
    BONE = "bone", _lazy("Bone or antler")
    OTHER = "other", _lazy("Other")


class YearsSource(models.TextChoices):
    """Where a record's years come from: what a period or an EDTF date filled in is derived, and filled in anew."""

    TYPED = "typed", _lazy("typed")
    PERIOD = "period", _lazy("the whole of the period")
    EDTF = "edtf", _lazy("the date in EDTF")
