"""The club itself: one row of settings, and the people it calls in an emergency."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy


class Units(models.TextChoices):
    BOTH = "both", _lazy("Hectares and acres")
    HECTARES = "ha", _lazy("Hectares")
    ACRES = "acres", _lazy("Acres")


class Club(models.Model):
    """The one club of this installation (primary key 1)."""

    name = models.CharField(_lazy("Club name"), max_length=120)
    jurisdiction = models.CharField(_lazy("Law that applies"), max_length=30, default="england")
    language = models.CharField(_lazy("Language"), max_length=10, default="en-gb")
    units = models.CharField(_lazy("Units of area"), max_length=5, choices=Units.choices, default=Units.BOTH)
    date_format = models.CharField(_lazy("Date format"), max_length=20, default="D j M Y")
    currency = models.CharField(_lazy("Currency"), max_length=3, default="GBP")
    find_prefix = models.CharField(_lazy("Letters before a find number"), max_length=6, default="F")
    base_lon = models.FloatField(null=True, blank=True)
    base_lat = models.FloatField(null=True, blank=True)
    background = models.JSONField(_lazy("Club's own background map (GeoJSON)"), default=dict, blank=True)
    emergency_department = models.CharField(_lazy("Nearest emergency department"), max_length=200, blank=True)
    address = models.TextField(_lazy("Address for reports"), blank=True)
    everybody_needs_two = models.BooleanField(_lazy("Everybody signs in with a second factor"), default=False)

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(pk=1), name="club_only_one")]

    def __str__(self) -> str:
        return self.name


class Contact(models.Model):
    """An authority as the club entered it: heritage officer, coroner, police, receiver, museum."""

    class Kind(models.TextChoices):
        FINDS_OFFICER = "finds officer", _lazy("Finds liaison or heritage officer")
        CORONER = "coroner", _lazy("Coroner")
        POLICE = "police", _lazy("Police")
        RECEIVER = "receiver", _lazy("Receiver of wreck")
        MUSEUM = "museum", _lazy("Museum")
        COASTGUARD = "coastguard", _lazy("Coastguard")
        MILITARY = "military", _lazy("Military casualty centre (aircraft)")
        LAND_MANAGER = "land manager", _lazy("Public land manager, tribe or State archaeologist")
        OTHER = "other", _lazy("Other")

    kind = models.CharField(_lazy("Call them as"), max_length=20, choices=Kind.choices)
    jurisdiction = models.CharField(_lazy("For sites under the law of"), max_length=30, default="england")
    name = models.CharField(_lazy("Name"), max_length=120)
    phone = models.CharField(_lazy("Phone"), max_length=60, blank=True)
    email = models.EmailField(_lazy("E-mail"), blank=True)
    hours = models.CharField(_lazy("When to call"), max_length=120, blank=True)

    class Meta:
        ordering = ["kind", "name"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.name}"
