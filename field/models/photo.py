"""A photograph on its way from a phone, in parts: rows, because several servers share no disk."""

from typing import Self

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from web.once import OnceModel


class PhotoUploadQuerySet(models.QuerySet["PhotoUpload"]):
    def visible_to(self, user: User) -> Self:
        """Nobody but whoever sends it, while they may send at all."""
        return self.filter(owner=user) if user.roles else self.none()

    def complete(self) -> Self:
        """All bytes are there, and the photograph is not with its record yet."""
        return self.filter(state=PhotoUpload.State.WAITING, received=F("size"))


class PhotoUpload(OnceModel):
    """One photograph: what it shows of which record, how much of it came, and what became of it."""

    class Of(models.TextChoices):
        HOLE = "hole", _lazy("Hole")
        FIND = "find", _lazy("Find")
        INCIDENT = "incident", _lazy("Incident")

    class State(models.TextChoices):
        WAITING = "waiting", _lazy("Waiting")
        STORED = "stored", _lazy("Stored")
        PARKED = "parked", _lazy("Waits for a person")
        LEFT_OUT = "left out", _lazy("Left out")

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    of = models.CharField(max_length=8, choices=Of.choices)
    record = models.UUIDField(db_index=True)  # the key of what it shows, which may come later
    shows = models.CharField(max_length=8)
    name = models.CharField(max_length=80, blank=True)
    size = models.PositiveIntegerField(validators=[MinValueValidator(1)])
    sha256 = models.CharField(max_length=64)
    received = models.PositiveIntegerField(default=0)
    state = models.CharField(max_length=8, choices=State.choices, default=State.WAITING)
    why = models.TextField(blank=True)
    begun_at = models.DateTimeField()
    settled_at = models.DateTimeField(null=True)

    objects = PhotoUploadQuerySet.as_manager()

    class Meta:
        ordering = ["begun_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(received__lte=F("size")), name="photo_upload_no_more_than_size"
            ),
            models.CheckConstraint(
                condition=Q(state__in=["waiting", "stored", "parked", "left out"]),
                name="photo_upload_state_known",
            ),
        ]

    def __str__(self) -> str:
        return f"photograph {self.pk} from a phone"


class PhotoPart(models.Model):
    """Bytes of a photograph from `starts` on; together they are the file as the phone has it."""

    upload = models.ForeignKey(PhotoUpload, on_delete=models.CASCADE, related_name="parts")
    starts = models.PositiveIntegerField()
    data = models.BinaryField()

    class Meta:
        ordering = ["upload", "starts"]
        constraints = [models.UniqueConstraint(fields=["upload", "starts"], name="photo_part_once")]
