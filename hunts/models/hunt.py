"""A hunt: one dated outing on named sites under one permission, with a leader; or a past outing entered later."""

from datetime import UTC, date, datetime, time, timedelta
from typing import Any, Self

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.functional import cached_property
from django.utils.timezone import make_aware
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from hunts.states import HuntState
from people.models import User
from people.rights import Right
from web.once import OnceModel

WHOLE_DAY = (time(0), time(23, 59))
"""Start and finish of a past outing whose times nobody wrote down."""


class PastBasis(models.TextChoices):
    """What is known of the permission of an outing before the club's records here."""

    RECORDED = "recorded", _lazy("A permission that is recorded here")
    WORD = "word", _lazy("By word")
    PAPER = "paper", _lazy("On paper that is not kept here")
    UNKNOWN = "unknown", _lazy("Not recorded")


UNRECORDED = [PastBasis.WORD, PastBasis.PAPER, PastBasis.UNKNOWN]
SHOWN_TO_MEMBERS = [HuntState.OPEN, HuntState.RUNNING, HuntState.CLOSED]


class HuntQuerySet(models.QuerySet["Hunt"]):
    def visible_to(self, user: User) -> Self:
        """Planners see every hunt; members see hunts from the day they open, and those they had signed up for."""
        if user.holds(Right.SEE_ALL_HUNTS):
            return self
        if not user.holds(Right.SIGN_UP):
            return self.none()
        return self.filter(Q(state__in=SHOWN_TO_MEMBERS) | Q(sign_ups__user=user)).distinct()

    def coming(self, day: date) -> Self:
        """Hunts on or after `day` that still stand, the next first."""
        return (
            self.filter(on__gte=day)
            .exclude(state__in=[HuntState.CLOSED, HuntState.CALLED_OFF])
            .order_by("on", "pk")
        )

    def past(self, day: date) -> Self:
        """Closed or called-off hunts and those whose day is gone, the latest first."""
        return self.filter(Q(on__lt=day) | Q(state__in=[HuntState.CLOSED, HuntState.CALLED_OFF])).order_by(
            "-on", "-pk"
        )


class Hunt(OnceModel):
    """One day out. Moves: hunts/states.py; every write: hunts/actions/."""

    code = models.CharField(_lazy("Hunt code"), max_length=20, unique=True)
    title = models.CharField(_lazy("Title"), max_length=120)
    on = models.DateField(_lazy("Date"))
    starts_at = models.TimeField(_lazy("Start"))
    ends_at = models.TimeField(_lazy("Finish"))
    leader = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="led_hunts")
    # Only a past outing may be without: nothing was asked of the gate, and none is made up for it afterwards.
    permission = models.ForeignKey(
        "permissions.Permission", null=True, blank=True, on_delete=models.PROTECT, related_name="hunts"
    )
    past_basis = models.CharField(
        _lazy("Permission at the time"), max_length=10, choices=PastBasis.choices, blank=True, default=""
    )
    past_why = models.CharField(_lazy("What is known of it"), max_length=300, blank=True, default="")
    sites: Any = models.ManyToManyField("permissions.Site", through="HuntSite", related_name="hunts")
    capacity = models.PositiveIntegerField(_lazy("Places"), validators=[MinValueValidator(1)])
    state = models.CharField(
        max_length=10, choices=[(s.value, _lazy(s.value)) for s in HuntState], default=HuntState.PLANNED
    )
    meeting_point = models.CharField(_lazy("Meeting point"), max_length=200, blank=True)
    briefing = models.TextField(_lazy("Briefing"), blank=True)
    leader_report = models.TextField(_lazy("Leader's paragraph for the landholder"), blank=True)
    told_at = models.DateTimeField(_lazy("Landholder told at"), null=True, blank=True)
    scrap_kg: Any = models.DecimalField(
        _lazy("Scrap taken away (kg)"),
        max_digits=6,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    gate_answer: Any = models.JSONField(default=dict, blank=True)  # what the gate said when it was planned
    called_off_why = models.CharField(max_length=300, blank=True)
    started_at = models.DateTimeField(null=True, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    unfilled_why = models.CharField(_lazy("Why holes are still open"), max_length=300, blank=True)
    noticed = models.TextField(_lazy("Gates, stock, fences and strangers"), blank=True)
    damage = models.TextField(_lazy("Damage"), blank=True)

    objects = HuntQuerySet.as_manager()

    class Meta:
        ordering = ["-on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(state__in=[s.value for s in HuntState]), name="hunt_state_known"
            ),
            models.CheckConstraint(condition=Q(ends_at__gt=F("starts_at")), name="hunt_ends_after_start"),
            models.CheckConstraint(condition=Q(capacity__gte=1), name="hunt_has_places"),
            models.CheckConstraint(
                condition=Q(past_basis="", permission__isnull=False)
                | Q(past_basis=PastBasis.RECORDED, permission__isnull=False, state="closed")
                | Q(past_basis__in=UNRECORDED, permission__isnull=True, state="closed") & ~Q(past_why=""),
                name="hunt_permitted_or_past",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.title}"

    @property
    def is_past_outing(self) -> bool:
        """Was it entered later, from older records? Then the gate was not asked and nobody kept a roll or holes."""
        return bool(self.past_basis)

    @property
    def permission_words(self) -> str:
        """Under what it took place: the permission, or why there is none on record."""
        if self.permission is not None:
            return str(self.permission)
        return f"{self.get_past_basis_display().lower()} ({self.past_why})"

    @property
    def hours_words(self) -> str:
        if self.is_past_outing and (self.starts_at, self.ends_at) == WHOLE_DAY:
            return _("times not recorded")
        return _("%(starts_at)s to %(ends_at)s") % {
            "starts_at": f"{self.starts_at:%H:%M}",
            "ends_at": f"{self.ends_at:%H:%M}",
        }

    @cached_property
    def boundaries(self) -> dict[int, Any]:
        """The boundary of each site as this hunt keeps it, by the site's id; read once for each hunt in hand."""
        return dict(self.hunt_sites.values_list("site_id", "boundary__geometry"))

    @property
    def begins(self) -> datetime:
        """The start in UTC: two times of one zone would be compared by the wall clock, wrong when clocks change."""
        return make_aware(datetime.combine(self.on, self.starts_at)).astimezone(UTC)

    @property
    def finishes(self) -> datetime:
        return make_aware(datetime.combine(self.on, self.ends_at)).astimezone(UTC)

    @property
    def day_ends(self) -> datetime:
        """The midnight after it: hunts run late, and until then what is told of one may still be news."""
        return make_aware(datetime.combine(self.on + timedelta(1), time(0))).astimezone(UTC)


class HuntSite(models.Model):
    """A site as hunted: it keeps the boundary that was true on the day."""

    hunt = models.ForeignKey(Hunt, on_delete=models.CASCADE, related_name="hunt_sites")
    site = models.ForeignKey("permissions.Site", on_delete=models.PROTECT, related_name="hunt_sites")
    boundary = models.ForeignKey("permissions.Boundary", on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["hunt", "site"], name="hunt_site_once")]
