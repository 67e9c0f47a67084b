"""The club itself: one row of settings, and the people it calls in an emergency."""

from django.db import models
from django.db.models import Q


class Units(models.TextChoices):
    BOTH = "both", "Hectares and acres"
    HECTARES = "ha", "Hectares"
    ACRES = "acres", "Acres"


class Club(models.Model):
    """The one club of this installation (primary key 1)."""

    name = models.CharField("Club name", max_length=120)
    jurisdiction = models.CharField("Law that applies", max_length=30, default="england")
    language = models.CharField("Language", max_length=10, default="en-gb")
    units = models.CharField("Units of area", max_length=5, choices=Units.choices, default=Units.BOTH)
    date_format = models.CharField("Date format", max_length=20, default="D j M Y")
    currency = models.CharField("Currency", max_length=3, default="GBP")
    find_prefix = models.CharField("Letters before a find number", max_length=6, default="F")
    base_lon = models.FloatField(null=True, blank=True)
    base_lat = models.FloatField(null=True, blank=True)
    background = models.JSONField("Club's own background map (GeoJSON)", default=dict, blank=True)
    emergency_department = models.CharField("Nearest emergency department", max_length=200, blank=True)
    address = models.TextField("Address for reports", blank=True)

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(pk=1), name="club_only_one")]

    def __str__(self) -> str:
        return self.name


class Contact(models.Model):
    """An authority as the club entered it: heritage officer, coroner, police, receiver, museum."""

    class Kind(models.TextChoices):
        FINDS_OFFICER = "finds officer", "Finds liaison or heritage officer"
        CORONER = "coroner", "Coroner"
        POLICE = "police", "Police"
        RECEIVER = "receiver", "Receiver of wreck"
        MUSEUM = "museum", "Museum"
        COASTGUARD = "coastguard", "Coastguard"
        MILITARY = "military", "Military casualty centre (aircraft)"
        LAND_MANAGER = "land manager", "Public land manager, tribe or State archaeologist"
        OTHER = "other", "Other"

    kind = models.CharField("Call them as", max_length=20, choices=Kind.choices)
    jurisdiction = models.CharField("For sites under the law of", max_length=30, default="england")
    name = models.CharField("Name", max_length=120)
    phone = models.CharField("Phone", max_length=60, blank=True)
    email = models.EmailField("E-mail", blank=True)
    hours = models.CharField("When to call", max_length=120, blank=True)

    class Meta:
        ordering = ["kind", "name"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.name}"
