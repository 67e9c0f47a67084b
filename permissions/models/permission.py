"""A permission over sites, its terms, and each landholder's consent."""

from datetime import date
from decimal import Decimal
from typing import Any, Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Exists, F, OuterRef, Prefetch, Q
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from people.rights import Right
from permissions.models.site import Capacity, Site
from permissions.states import State
from web.once import OnceModel


class PermissionQuerySet(models.QuerySet["Permission"]):
    def visible_to(self, user: User) -> Self:
        """Terms and consents are for those who plan on the land."""
        return self if user.holds(Right.SEE_ALL_LAND) else self.none()

    def with_site_names(self) -> Self:
        """The permissions with code and name of their sites, without the weight of boundaries."""
        return self.prefetch_related(Prefetch("sites", Site.objects.only("code", "name")))

    def named_like(self, words: str) -> Self:
        """Permissions whose reference, title or site says `words`."""
        named = Q(reference__icontains=words) | Q(title__icontains=words)
        return self.filter(
            named | Q(sites__name__icontains=words) | Q(sites__code__icontains=words)
        ).distinct()

    def in_force(self, day: date) -> Self:
        """Granted, within its dates, with a consent in force on `day`: `permissions.gate.is_in_force` as a query."""
        consents = Consent.objects.in_force(day).filter(permission=OuterRef("pk"))
        return self.filter(_from_to(day), Exists(consents), state=State.GRANTED)


class ConsentQuerySet(models.QuerySet["Consent"]):
    def in_force(self, day: date) -> Self:
        """Given, begun, not ended and not withdrawn on `day`; no date given on means asked, not answered."""
        stands = Q(withdrawn_on__isnull=True) | Q(withdrawn_on__gt=day)
        return self.filter(_from_to(day), stands, given_on__lte=day)


def _from_to(day: date) -> Q:
    """`day` lies between first and last day, both included; an empty date is open-ended."""
    return (Q(starts__isnull=True) | Q(starts__lte=day)) & (Q(ends__isnull=True) | Q(ends__gte=day))


class TermsModel(models.Model):
    """Mixin: the terms as columns; permissions/terms.py reads them and puts them into words."""

    weekdays = models.JSONField(_lazy("Days"), default=list, blank=True)  # 0 = Monday; empty: any day
    hours_from = models.TimeField(_lazy("Not before"), null=True, blank=True)
    hours_to = models.TimeField(_lazy("Not after"), null=True, blank=True)
    max_heads = models.PositiveIntegerField(_lazy("Most people at once"), null=True, blank=True)
    named_only = models.BooleanField(_lazy("Only people named in the agreement"), default=False)
    named_people = models.ManyToManyField(settings.AUTH_USER_MODEL, blank=True, related_name="+")
    guests_allowed = models.BooleanField(_lazy("Guests may come"), default=False)
    juniors_allowed = models.BooleanField(_lazy("Under-18s may come with an adult"), default=False)
    minimum_age = models.PositiveSmallIntegerField(
        _lazy("Youngest who may come (years)"), null=True, blank=True
    )
    notice_hours = models.PositiveIntegerField(
        _lazy("Notice before each visit (hours)"), null=True, blank=True
    )
    notice_to = models.CharField(_lazy("Notice to"), max_length=160, blank=True)
    vehicles = models.CharField(_lazy("Vehicles and parking"), max_length=200, blank=True)
    max_vehicles = models.PositiveIntegerField(_lazy("Most vehicles"), null=True, blank=True)
    dogs_allowed = models.BooleanField(_lazy("Dogs may come"), default=False)
    depth_limit_cm = models.PositiveIntegerField(
        _lazy("Deepest hole (cm)"), null=True, blank=True, validators=[MaxValueValidator(200)]
    )
    livestock_rule = models.CharField(
        _lazy("With livestock in the field"),
        max_length=10,
        choices=[
            ("allowed", _lazy("searching is allowed")),
            ("ask_first", _lazy("ask first")),
            ("not_with", _lazy("no searching")),
        ],
        default="ask_first",
    )
    livestock = models.CharField(_lazy("About livestock"), max_length=200, blank=True)
    fee_per_head = models.DecimalField(
        _lazy("Fee for each person and visit"),
        max_digits=8,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    share_percent = models.DecimalField(
        _lazy("Landholder's share (%)"),
        max_digits=5,
        decimal_places=2,
        default=Decimal(50),
        validators=[MinValueValidator(0), MaxValueValidator(100)],
    )
    share_threshold = models.DecimalField(
        _lazy("Sharing starts at"),
        max_digits=10,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(0)],
    )
    share_wording = models.CharField(
        _lazy("Threshold reads"),
        max_length=8,
        choices=[("over", _lazy("more than that value")), ("at_least", _lazy("that value or more"))],
        default="over",
    )
    share_rule = models.CharField(
        _lazy("What is shared"),
        max_length=8,
        choices=[("whole", _lazy("the whole value")), ("excess", _lazy("only the part above"))],
        default="whole",
    )
    share_unit = models.CharField(
        _lazy("Counted per"),
        max_length=8,
        choices=[("object", _lazy("object")), ("group", _lazy("same-find group")), ("hunt", _lazy("hunt"))],
        default=_lazy("object"),
    )
    organiser_percent = models.DecimalField(
        _lazy("Organiser's part, off the value first (%)"),
        max_digits=5,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(0), MaxValueValidator(100)],
    )
    findspots_to_landholder = models.BooleanField(_lazy("Landholder sees exact findspots"), default=True)
    photographs = models.CharField(
        _lazy("Photographs"),
        max_length=10,
        choices=[
            ("free", _lazy("may be published")),
            ("no_places", _lazy("may be published without the place")),
            ("ask_first", _lazy("only after asking")),
            ("none", _lazy("may not be published")),
        ],
        default="no_places",
    )
    publicity = models.CharField(_lazy("About publicity"), max_length=200, blank=True)
    insurance_floor = models.PositiveBigIntegerField(_lazy("Insurance at least"), null=True, blank=True)
    ending_notice_days = models.PositiveIntegerField(_lazy("Notice to end it (days)"), null=True, blank=True)
    other_terms = models.TextField(_lazy("Anything else agreed"), blank=True)

    class Meta:
        abstract = True


class Permission(OnceModel, TermsModel):
    """An agreement over one or more sites. Whether it is in force is computed, never stored."""

    reference = models.CharField(_lazy("Reference"), max_length=20, unique=True)
    title = models.CharField(_lazy("Title"), max_length=160)
    sites: Any = models.ManyToManyField("permissions.Site", related_name="permissions")
    state = models.CharField(
        max_length=8, choices=[(s.value, _lazy(s.value)) for s in State], default=State.DRAFT
    )
    starts = models.DateField(_lazy("First day"), null=True, blank=True)
    ends = models.DateField(_lazy("Last day"), null=True, blank=True)
    paused_why = models.CharField(max_length=300, blank=True)
    notes = models.TextField(blank=True)

    objects = PermissionQuerySet.as_manager()

    class Meta:
        ordering = ["reference"]
        constraints = [
            models.CheckConstraint(
                condition=Q(state__in=[s.value for s in State]), name="permission_state_known"
            ),
            models.CheckConstraint(
                condition=Q(starts__isnull=True) | Q(ends__isnull=True) | Q(ends__gte=F("starts")),
                name="permission_ends_after_start",
            ),
            models.CheckConstraint(condition=Q(share_percent__lte=100), name="permission_share_to_100"),
            models.CheckConstraint(
                condition=Q(organiser_percent__gte=0, organiser_percent__lte=100),
                name="permission_organiser_to_100",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.reference} {self.title}"


class Consent(OnceModel):
    """One landholder's yes, in one capacity, for all sites of the permission or for some."""

    class Evidence(models.TextChoices):
        SIGNED = "signed", _lazy("Signed paper")
        EMAIL = "email", _lazy("E-mail or letter")
        ONLINE = "online", _lazy("Signed on line by link")
        VERBAL = "verbal", _lazy("Spoken only")

    permission = models.ForeignKey(Permission, on_delete=models.PROTECT, related_name="consents")
    landholder = models.ForeignKey(
        "permissions.Landholder", on_delete=models.PROTECT, related_name="consents"
    )
    capacity = models.CharField(max_length=16, choices=Capacity.choices)
    sites: Any = models.ManyToManyField("permissions.Site", blank=True, related_name="+")  # none chosen: all
    given_on = models.DateField(_lazy("Given on"), null=True, blank=True)
    starts = models.DateField(_lazy("From"), null=True, blank=True)
    ends = models.DateField(_lazy("Until"), null=True, blank=True)
    evidence_kind = models.CharField(
        _lazy("Evidence"), max_length=8, choices=Evidence.choices, default=Evidence.VERBAL
    )
    evidence_file = models.FileField(_lazy("File"), upload_to="", blank=True)
    evidence_name = models.CharField(max_length=160, blank=True)
    withdrawn_on = models.DateField(null=True, blank=True)
    notes = models.CharField(max_length=300, blank=True)

    objects = ConsentQuerySet.as_manager()

    class Meta:
        ordering = ["permission", "capacity", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(starts__isnull=True) | Q(ends__isnull=True) | Q(ends__gte=F("starts")),
                name="consent_ends_after_start",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_capacity_display()} consent {self.pk}"
