"""Something went wrong or had to stop: gate, stock, damage, injury, bones, ordnance, a deposit, a wreck."""

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy

from hunts.models.hole import PhotoModel
from hunts.states import HuntState
from people.models import User
from people.rights import Right
from web.append_only import AppendOnlyModel
from web.once import OnceModel
from web.position_model import PositionModel


class IncidentQuerySet(models.QuerySet["Incident"]):
    def visible_to(self, user: User) -> Self:
        """The one who recorded it, the leader of that hunt, and those who see every hole."""
        if user.holds(Right.SEE_ALL_HOLES):
            return self
        return self.filter(Q(recorded_by=user) | Q(hunt__leader=user)) if user.roles else self.none()

    def open(self) -> Self:
        """Nobody has said yet how it ended."""
        return self.filter(closed_at__isnull=True)

    def stopping(self) -> Self:
        """Those that stop a running hunt until its leader says that it may go on."""
        return self.open().filter(
            kind__in=Incident.STOPS_THE_HUNT, stop_lifted_at__isnull=True, hunt__state=HuntState.RUNNING
        )


class Incident(OnceModel, PositionModel):
    """One incident on a hunt, who was told, who took it over, and how it ended."""

    class Kind(models.TextChoices):
        REMAINS = "remains", _lazy("Bones that may be human")
        ORDNANCE = "ordnance", _lazy("Ordnance")
        DEPOSIT = "deposit", _lazy("Objects lying as they were left")
        WRECK = "wreck", _lazy("Part of a ship or its cargo")
        AIRCRAFT = "aircraft", _lazy("Part of a crashed aircraft")
        INJURY = "injury", _lazy("Injury or illness")
        STOCK = "stock", _lazy("Livestock")
        GATE = "gate", _lazy("Gate, fence or crop")
        SERVICES = "services", _lazy("Buried service, pipe or cable")
        TRESPASS = "trespass", _lazy("Strangers on the land")
        OTHER = "other", _lazy("Other")

    # The place of these is not shown round, and their drill comes before everything else.
    LOCKING = frozenset({Kind.REMAINS, Kind.ORDNANCE, Kind.DEPOSIT, Kind.WRECK, Kind.AIRCRAFT})
    # Danger to people, or the police have to come: nobody digs on until the leader says so.
    STOPS_THE_HUNT = frozenset({Kind.REMAINS, Kind.ORDNANCE})

    hunt = models.ForeignKey("hunts.Hunt", on_delete=models.PROTECT, related_name="incidents")
    site = models.ForeignKey(
        "permissions.Site", null=True, blank=True, on_delete=models.PROTECT, related_name="incidents"
    )
    hole = models.ForeignKey(
        "hunts.Hole", null=True, blank=True, on_delete=models.PROTECT, related_name="incidents"
    )
    kind = models.CharField(_lazy("What kind"), max_length=10, choices=Kind.choices)
    happened_at = models.DateTimeField(_lazy("When"))
    words = models.TextField(_lazy("What happened"))
    told = models.CharField(_lazy("Who was told, and when"), max_length=300, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    locked = models.BooleanField(default=False)
    taken_over_at = models.DateTimeField(null=True, blank=True)
    taken_over_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    stop_lifted_at = models.DateTimeField(null=True, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    outcome = models.TextField(_lazy("How it ended"), blank=True)

    objects = IncidentQuerySet.as_manager()

    class Meta:
        ordering = ["-happened_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(closed_at__isnull=True, closed_by__isnull=True, outcome="")
                | (Q(closed_at__isnull=False, closed_by__isnull=False) & ~Q(outcome="")),
                name="incident_closed_with_outcome",
            ),
        ]

    def __str__(self) -> str:
        return self.get_kind_display()


class IncidentPhoto(PhotoModel):
    """What was seen: a gap in a hedge, a hurt beast, a shell. It is for those who see the incident."""

    incident = models.ForeignKey(Incident, on_delete=models.PROTECT, related_name="photos")

    class Meta:
        ordering = ["incident", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["incident", "original_sha256"], name="incident_photo_once"),
        ]


class IncidentEvent(AppendOnlyModel):
    """One line of an incident's history: the drill done, taken over, a word taken back, the stop lifted, closed."""

    class Verb(models.TextChoices):
        OPENED = "opened", _lazy("Opened")
        DONE = "done", _lazy("Did what the drill says")
        TAKEN_OVER = "taken over", _lazy("Took over")
        TAKEN_BACK = "taken back", _lazy("Took back what was said")
        SAID_AGAIN = "said again", _lazy("Said it again")
        LIFTED = "lifted", _lazy("Let the hunt go on")
        CLOSED = "closed", _lazy("Closed")
        FREED = "freed", _lazy("Opened the place again")

    incident = models.ForeignKey(Incident, on_delete=models.PROTECT, related_name="events")
    at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    verb = models.CharField(max_length=12, choices=Verb.choices)
    words = models.TextField(blank=True)

    class Meta:
        ordering = ["at", "pk"]
