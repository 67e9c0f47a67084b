"""A find: an object kept for recording, its number and its same-find group."""

from typing import Any, Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _lazy

from finds.dates import range_words
from finds.edtf_dates import edtf_of
from finds.models.choices import Certainty as Certainty  # names that others read from here
from finds.models.choices import Material as Material
from finds.models.choices import Tri as Tri
from finds.models.choices import YearsSource
from people.models import User
from people.rights import Right
from web.once import OnceModel
from web.position_model import PositionModel


class FindNumberQuerySet(models.QuerySet["FindNumber"]):
    def gaps(self) -> Self:
        """Numbers that no live find bears, each with its reason."""
        return self.exclude(void_why="").order_by("year", "serial")


class FindNumber(models.Model):
    """A number given out once and never again. A number without a find says why."""

    year = models.PositiveIntegerField()
    serial = models.PositiveIntegerField()
    given_at = models.DateTimeField()
    void_why = models.CharField(max_length=200, blank=True)
    void_at = models.DateTimeField(null=True, blank=True)
    void_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = FindNumberQuerySet.as_manager()

    class Meta:
        ordering = ["year", "serial"]
        constraints = [models.UniqueConstraint(fields=["year", "serial"], name="find_number_once")]


class FindGroup(OnceModel):
    """Objects that a person decided were left together (same find), with the reasons."""

    reasons = models.TextField(_lazy("Why these belong together"))
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    def __str__(self) -> str:
        return f"same-find group {self.pk}"


ON_MAP = Q(locked=False, withdrawn_at__isnull=True)
# A place and what follows from it (finds/squares.py): all of it or none.
FOLLOWING = tuple(
    f"{name}__isnull"
    for name in ("lat", "cell", "wide_cell", "square_lat", "square_cell", "square_wide_cell")
)
SAID = ("locked", "withdrawn_at")  # what ON_MAP names


class FindQuerySet(models.QuerySet["Find"]):
    def visible_to(self, user: User) -> Self:
        """Live finds: one's own, those of hunts one led, all for the committee; others see what is not locked."""
        live = self.filter(withdrawn_at__isnull=True)
        if user.holds(Right.SEE_ALL_FINDS):
            return live
        if not user.roles:
            return self.none()
        return live.filter(Q(finder=user) | Q(hunt__leader=user) | Q(locked=False))

    def on_map_for(self, user: User) -> Self:
        """What maps and counts by place may hold for `user`: the same as `visible_to` without what is locked.

        Put so that the partial indexes answer it alone; a test proves the two the same.
        """
        return self.filter(ON_MAP) if user.roles else self.none()

    def detailed(self) -> Self:
        """With what every list row shows, in one go."""
        return self.select_related("finder", "hunt", "site", "number_row", "hole").prefetch_related(
            "materials", "photos"
        )

    def with_history(self) -> Self:
        """With what a case page and a heritage report say besides: leader, group, custody, parties to the land."""
        return (
            self.detailed()
            .select_related("hunt__leader", "group")
            .prefetch_related("custody", "site__parties__landholder")
        )


class Find(OnceModel, PositionModel):
    """One object, or one lot of like objects. Legal facts beyond the record's own columns live in `facts`."""

    number_row = models.OneToOneField(FindNumber, on_delete=models.PROTECT, related_name="find")
    number = models.CharField(_lazy("Find number"), max_length=20, unique=True)
    hunt = models.ForeignKey("hunts.Hunt", on_delete=models.PROTECT, related_name="finds")
    site = models.ForeignKey("permissions.Site", on_delete=models.PROTECT, related_name="finds")
    hole = models.ForeignKey(
        "hunts.Hole", null=True, blank=True, on_delete=models.PROTECT, related_name="finds"
    )
    finder = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="finds")
    group = models.ForeignKey(
        FindGroup, null=True, blank=True, on_delete=models.PROTECT, related_name="finds"
    )
    found_at = models.DateTimeField(_lazy("Found at"))
    own_reference = models.CharField(_lazy("Finder's own reference"), max_length=60, blank=True)
    object_type = models.CharField(_lazy("Object"), max_length=80)
    # Which term of which vocabulary the object is; empty for free text. Likewise for the period.
    object_scheme = models.CharField(max_length=120, blank=True)
    object_uri = models.CharField(max_length=200, blank=True)
    description = models.TextField(_lazy("Description"), blank=True)
    inscription = models.CharField(_lazy("Inscription or marks"), max_length=300, blank=True)
    is_coin = models.CharField(_lazy("Coin or token"), max_length=7, choices=Tri.choices, default=Tri.UNKNOWN)
    period = models.CharField(_lazy("Period"), max_length=60, blank=True)
    period_scheme = models.CharField(max_length=120, blank=True)
    period_uri = models.CharField(max_length=200, blank=True)
    edtf = models.CharField(_lazy("Date in EDTF, if you know it"), max_length=60, blank=True)
    year_from = models.IntegerField(_lazy("Made between (year; BC as minus)"), null=True, blank=True)
    year_to = models.IntegerField(_lazy("and"), null=True, blank=True)
    years_source = models.CharField(max_length=6, choices=YearsSource.choices, blank=True)
    certainty = models.CharField(
        _lazy("How sure"), max_length=8, choices=Certainty.choices, default=Certainty.UNKNOWN
    )
    identified_by = models.CharField(_lazy("Identified by"), max_length=120, blank=True)
    identified_on = models.DateField(_lazy("Identified on"), null=True, blank=True)
    weight_g = models.DecimalField(_lazy("Weight (g)"), max_digits=9, decimal_places=2, null=True, blank=True)
    weight_as_typed = models.CharField(max_length=40, blank=True)  # '22 grains', where it was not grams
    length_mm = models.DecimalField(
        _lazy("Length (mm)"), max_digits=7, decimal_places=1, null=True, blank=True
    )
    width_mm = models.DecimalField(_lazy("Width (mm)"), max_digits=7, decimal_places=1, null=True, blank=True)
    thickness_mm = models.DecimalField(
        _lazy("Thickness (mm)"), max_digits=7, decimal_places=1, null=True, blank=True
    )
    diameter_mm = models.DecimalField(
        _lazy("Diameter (mm)"), max_digits=7, decimal_places=1, null=True, blank=True
    )
    count = models.PositiveIntegerField(_lazy("How many"), default=1, validators=[MinValueValidator(1)])
    depth_cm = models.PositiveIntegerField(
        _lazy("Depth (cm)"), null=True, blank=True, validators=[MaxValueValidator(200)]
    )
    context = models.CharField(_lazy("Context"), max_length=80, blank=True)
    land_use = models.CharField(_lazy("Land use"), max_length=60, blank=True)
    completeness = models.CharField(_lazy("Completeness"), max_length=40, blank=True)
    condition = models.CharField(_lazy("Condition"), max_length=80, blank=True)
    facts: Any = models.JSONField(
        default=dict, blank=True
    )  # law.facts.FindFacts fields the record has no column for
    realised_on = models.DateField(
        _lazy("When was it realised that it might have to be reported?"), null=True, blank=True
    )
    placing = models.CharField(max_length=10, blank=True)
    placing_probability = models.FloatField(null=True, blank=True)
    locked = models.BooleanField(default=False)
    # Fingerprint of the law packs of its latest screening; empty while none was kept. Says which are out of date.
    judged_by = models.CharField(max_length=64, blank=True, db_index=True, editable=False)
    # The middle of its 1 km square (finds/squares.py): what maps and counts read for those who may see no more.
    square_lon = models.FloatField(null=True, editable=False)
    square_lat = models.FloatField(null=True, editable=False)
    square_cell = models.BigIntegerField(null=True, editable=False)
    # Both cells at zoom 10, kept so that an index holds the finds in the order in which wide maps count them.
    wide_cell = models.IntegerField(null=True, editable=False)
    square_wide_cell = models.IntegerField(null=True, editable=False)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects = FindQuerySet.as_manager()

    class Meta:
        ordering = ["-found_at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(count__gte=1), name="find_count_at_least_one"),
            models.CheckConstraint(
                condition=Q(year_from__isnull=True)
                | Q(year_to__isnull=True)
                | Q(year_to__gte=F("year_from")),
                name="find_years_in_order",
            ),
            models.CheckConstraint(condition=~Q(year_from=0) & ~Q(year_to=0), name="find_no_year_zero"),
            models.CheckConstraint(
                condition=Q(weight_g__isnull=True) | Q(weight_g__gt=0), name="find_weight_positive"
            ),
            models.CheckConstraint(
                condition=Q(**dict.fromkeys(FOLLOWING, True)) | Q(**dict.fromkeys(FOLLOWING, False)),
                name="find_square_with_place",
            ),
        ]
        # The first serves questions that ask for locked finds too, such as which finds lie near a new one. Maps count
        # up to a million finds out of the next two alone (benchmarks/finds_map.py); SQLite reads the table besides
        # unless an index holds the columns of its own condition.
        indexes = [
            models.Index(fields=["lat", "lon", "cell"], name="find_lat_lon_cell"),
            models.Index(
                fields=["wide_cell", "lon", "lat", "cell", *SAID], name="find_on_map", condition=ON_MAP
            ),
            models.Index(
                fields=["square_wide_cell", "square_lon", "square_lat", "square_cell", *SAID],
                name="find_on_members_map",
                condition=ON_MAP,
            ),
            models.Index(fields=["hunt"], name="find_locked", condition=Q(locked=True)),
            models.Index(fields=["-found_at", "-id"], name="find_latest"),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.object_type}"

    @property
    def years(self) -> str:
        """When it was made, in words."""
        return range_words(self.year_from, self.year_to)

    @property
    def edtf_date(self) -> str:
        """When it was made, in EDTF: as it was typed, or worked out from the years and how sure they are."""
        doubtful = self.certainty in {Certainty.PROBABLE, Certainty.POSSIBLE}
        return self.edtf or edtf_of(self.year_from, self.year_to, uncertain=doubtful)
