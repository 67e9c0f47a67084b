"""The choices of a find's record."""

from django.db import models


class Certainty(models.TextChoices):
    CERTAIN = "certain", "Certain"
    PROBABLE = "probable", "Probable"
    POSSIBLE = "possible", "Possible"
    UNKNOWN = "unknown", "Not known"


class Tri(models.TextChoices):
    YES = "yes", "Yes"
    NO = "no", "No"
    UNKNOWN = "unknown", "Not known"


class Material(models.TextChoices):
    GOLD = "gold", "Gold"
    SILVER = "silver", "Silver"
    COPPER_ALLOY = "copper alloy", "Copper alloy"
    LEAD = "lead", "Lead or lead alloy"
    IRON = "iron", "Iron"
    TIN = "tin", "Tin or pewter"
    OTHER_METAL = "other metal", "Other metal"
    POTTERY = "pottery", "Pottery"
    FLINT = "flint", "Flint or stone"
    GLASS = "glass", "Glass"
    BONE = "bone", "Bone or antler"
    OTHER = "other", "Other"


class YearsSource(models.TextChoices):
    """Where a record's years come from: what a period or an EDTF date filled in is derived, and filled in anew."""

    TYPED = "typed", "typed"
    PERIOD = "period", "the whole of the period"
    EDTF = "edtf", "the date in EDTF"
