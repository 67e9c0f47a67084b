"""A site, its boundary through time, and who has a say over it."""

from datetime import date
from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _lazy

from geo.position import Country
from people.models import User
from people.rights import Right
from web.once import OnceModel

COUNTRIES = {
    "england": Country.GB,
    "wales": Country.GB,
    "scotland": Country.GB,
    "isle-of-man": Country.IM,
    "northern-ireland": Country.NI,
    "ireland": Country.IE,
    "denmark": Country.DK,
    "netherlands": Country.NL,
    "norway": Country.NO,
    "sweden": Country.SE,
    "us-federal": Country.US,
    "us-florida": Country.US,
    "us-washington": Country.US,
}


class Capacity(models.TextChoices):
    OWNER = "owner", _lazy("Owner")
    OCCUPIER = "occupier", _lazy("Occupier (tenant)")
    AGENT = "agent", _lazy("Agent")
    SPORTING_TENANT = "sporting_tenant", _lazy("Sporting tenant")
    INFORMED_ONLY = "informed_only", _lazy("Informed only")


class Tenure(models.TextChoices):
    OWNER_OCCUPIED = "owner_occupied", _lazy("Farmed by the owner")
    LET = "let", _lazy("Let to a tenant")
    UNKNOWN = "unknown", _lazy("Not known yet")


class Said(models.TextChoices):
    """What is known of the ground; not known is never taken for no."""

    YES = "yes", _lazy("Yes")
    NO = "no", _lazy("No")
    UNKNOWN = "unknown", _lazy("Not known")


class LandStatus(models.TextChoices):
    """Who holds the ground, as United States law sorts it (law.facts.LandStatus)."""

    UNKNOWN = "unknown", _lazy("Not known")
    NATIONAL_PARK = "national_park", _lazy("National park")
    NATIONAL_FOREST = "national_forest", _lazy("National forest")
    REFUGE = "refuge", _lazy("Wildlife refuge")
    FEDERAL_OTHER = "federal_other", _lazy("Other federal land")
    TRIBAL = "tribal", _lazy("Tribal land")
    STATE = "state", _lazy("State land")
    LOCAL = "local", _lazy("County, city or another local body")
    PRIVATE = "private", _lazy("Private land")


class SiteQuerySet(models.QuerySet["Site"]):
    def visible_to(self, user: User) -> Self:
        """All land for those who plan; other members see the ground of hunts they can see."""
        if user.holds(Right.SEE_ALL_LAND):
            return self
        if not user.holds(Right.SIGN_UP):
            return self.none()
        return self.filter(hunt_sites__hunt__state__in=["open", "running", "closed"]).distinct()

    def current(self) -> Self:
        """Sites still in use."""
        return self.filter(retired_on__isnull=True)


class Site(OnceModel):
    """One searchable block of ground, usually one field. The boundary columns mirror the current Boundary."""

    code = models.CharField(_lazy("Site code"), max_length=12, unique=True)
    name = models.CharField(_lazy("Field name"), max_length=120)
    holding = models.CharField(_lazy("Farm or estate"), max_length=120, blank=True)
    parish = models.CharField(_lazy("Parish"), max_length=120, blank=True)
    jurisdiction = models.CharField(_lazy("Law that applies"), max_length=30, default="england")
    tenure = models.CharField(
        _lazy("Who farms it"), max_length=14, choices=Tenure.choices, default=Tenure.UNKNOWN
    )
    land_use = models.CharField(_lazy("Usual land use"), max_length=60, blank=True)
    tidal = models.CharField(
        _lazy("Is it shore or tidal ground?"), max_length=7, choices=Said.choices, default=Said.UNKNOWN
    )
    church_land = models.CharField(
        _lazy("Is it church land?"), max_length=7, choices=Said.choices, default=Said.UNKNOWN
    )
    land_status = models.CharField(
        _lazy("Who holds the land"), max_length=15, choices=LandStatus.choices, default=LandStatus.UNKNOWN
    )  # asked only where the law of the place tells lands apart by it
    boundary = models.JSONField(default=dict)  # GeoJSON MultiPolygon, WGS84
    area_m2 = models.FloatField(default=0)
    min_lon = models.FloatField(null=True)
    min_lat = models.FloatField(null=True)
    max_lon = models.FloatField(null=True)
    max_lat = models.FloatField(null=True)
    gate_lon = models.FloatField(null=True, blank=True)
    gate_lat = models.FloatField(null=True, blank=True)
    access = models.TextField(_lazy("Way in, parking, gates"), blank=True)
    postcode = models.CharField(_lazy("Postcode of the nearest road"), max_length=12, blank=True)
    hazards = models.TextField(_lazy("Known hazards"), blank=True)
    no_go_share = models.FloatField(
        default=0, editable=False
    )  # 0 to 1 of the area, kept by permissions/actions
    retired_on = models.DateField(_lazy("No longer used from"), null=True, blank=True)

    objects = SiteQuerySet.as_manager()

    class Meta:
        ordering = ["code"]
        # Latitude first and bounded by the tallest site: a short band instead of a half-plane scan.
        indexes = [models.Index(fields=["min_lat", "max_lat", "min_lon", "max_lon"], name="site_bounds")]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"

    @property
    def country(self) -> Country:
        return COUNTRIES.get(self.jurisdiction, Country.OTHER)

    @property
    def bounds(self) -> tuple[float | None, float | None, float | None, float | None]:
        return self.min_lon, self.min_lat, self.max_lon, self.max_lat

    @property
    def searchable_m2(self) -> float:
        """The area left when no-go ground is taken away, in square metres."""
        return self.area_m2 * (1 - self.no_go_share)


class SiteOverlap(models.Model):
    """Ground that two sites share, worked out when either boundary is drawn; one row each way."""

    site = models.ForeignKey(Site, on_delete=models.CASCADE, related_name="overlaps")
    other = models.ForeignKey(Site, on_delete=models.CASCADE, related_name="+")
    shared_m2 = models.FloatField()

    class Meta:
        ordering = ["site", "-shared_m2", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["site", "other"], name="site_overlap_once"),
            models.CheckConstraint(condition=~Q(site=F("other")), name="site_overlap_with_another"),
        ]


class Succession(models.Model):
    """A site that took the place of another when that one was split or merged."""

    class How(models.TextChoices):
        SPLIT = "split", _lazy("split")
        MERGE = "merge", _lazy("merged")

    before = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="successors")
    after = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="forerunners")
    how = models.CharField(max_length=5, choices=How.choices)
    on = models.DateField()
    said: Any = models.JSONField(default=list)  # what was carried over and what was not, in words

    class Meta:
        ordering = ["on", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["before", "after"], name="succession_once"),
            models.CheckConstraint(condition=~Q(before=F("after")), name="succession_of_another"),
        ]


class Boundary(models.Model):
    """A boundary as it was drawn; a hunt keeps the one that was true on its day."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="boundaries")
    geometry = models.JSONField()
    area_m2 = models.FloatField()
    drawn_at = models.DateTimeField()
    drawn_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    source = models.CharField(max_length=60, default="drawn")
    notes: Any = models.JSONField(default=list)  # what checking changed, in words

    class Meta:
        ordering = ["-drawn_at", "-pk"]


class SitePartyQuerySet(models.QuerySet["SiteParty"]):
    def on(self, day: date) -> Self:
        """Parties with a say on `day`."""
        return self.filter(
            Q(since__isnull=True) | Q(since__lte=day), Q(until__isnull=True) | Q(until__gte=day)
        )


class SiteParty(models.Model):
    """A landholder's say over one site, in one capacity, from a day until a day."""

    site = models.ForeignKey(Site, on_delete=models.CASCADE, related_name="parties")
    landholder = models.ForeignKey("permissions.Landholder", on_delete=models.PROTECT, related_name="parties")
    capacity = models.CharField(max_length=16, choices=Capacity.choices)
    acts_for = models.ForeignKey(
        "permissions.Landholder", null=True, blank=True, on_delete=models.PROTECT, related_name="agents"
    )
    authority = models.CharField(_lazy("How an agent's authority was shown"), max_length=160, blank=True)
    since = models.DateField(_lazy("From"), null=True, blank=True)
    until = models.DateField(_lazy("Until"), null=True, blank=True)

    objects = SitePartyQuerySet.as_manager()

    class Meta:
        ordering = ["site", "capacity", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(since__isnull=True) | Q(until__isnull=True) | Q(until__gte=F("since")),
                name="site_party_until_after_since",
            ),
            models.CheckConstraint(
                condition=Q(acts_for__isnull=True) | Q(capacity="agent"),
                name="site_party_only_agents_act_for",
            ),
            models.UniqueConstraint(fields=["site", "landholder", "capacity"], name="site_party_once"),
        ]

    def has_say_on(self, day: date) -> bool:
        """Does this party have a say on `day`? The queryset's `on` says the same of rows."""
        return (self.since is None or self.since <= day) and (self.until is None or self.until >= day)
