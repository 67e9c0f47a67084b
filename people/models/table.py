"""A table on its way in, how its columns were understood, and what an import made."""

from datetime import datetime
from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy

from people.models.user import User
from people.rights import Right
from web.once import OnceModel


class TableKind(models.TextChoices):
    """What a row of the table is."""

    MEMBERS = "members", _lazy("Members")
    LANDHOLDERS = "landholders", _lazy("Landholders")
    SITES = "sites", _lazy("Sites")
    FINDS = "finds", _lazy("Old finds")


class TableDraftQuerySet(models.QuerySet["TableDraft"]):
    def visible_to(self, user: User) -> Self:
        """Only whoever sent the file sees it, and only while they keep the club's lists."""
        return self.filter(made_by=user) if user.holds(Right.MANAGE_PEOPLE) else self.none()

    def live(self, at: datetime) -> Self:
        """Drafts that may still be looked at."""
        return self.filter(expires_at__gt=at)


class TableDraft(OnceModel):
    """A file on its way in. `raw` holds it until it is saved, at most two days: in the row, so that nothing is left.

    The rows are read from it anew at each look, against the club as it stands then.
    """

    kind = models.CharField(max_length=12, choices=TableKind.choices)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    filename = models.CharField(max_length=160)
    raw = models.BinaryField()
    encoding = models.CharField(max_length=20, blank=True)  # empty: found out from the bytes
    sheet = models.CharField(max_length=120, blank=True)  # empty: the only one, or not chosen yet
    header_line = models.PositiveIntegerField(default=0)  # 0: found out from the words
    columns: Any = models.JSONField(
        default=dict
    )  # our field by the number of their column; empty: not matched yet
    answers: Any = models.JSONField(default=dict)  # what was asked beside the columns: dates, names, defaults

    objects = TableDraftQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return self.filename


class ColumnMemory(models.Model):
    """How a set of columns was understood the last time: names of columns and fields, nobody's data."""

    kind = models.CharField(max_length=12, choices=TableKind.choices)
    digest = models.CharField(max_length=64)
    columns: Any = models.JSONField(default=dict)
    answers: Any = models.JSONField(default=dict)
    confirmed_at = models.DateTimeField()

    class Meta:
        ordering = ["kind", "-confirmed_at", "pk"]
        constraints = [models.UniqueConstraint(fields=["kind", "digest"], name="column_memory_once")]

    def __str__(self) -> str:
        return f"{self.kind} {self.digest[:8]}"


class TableImportQuerySet(models.QuerySet["TableImport"]):
    def visible_to(self, user: User) -> Self:
        """Whoever keeps the club's lists sees every import there was."""
        return self if user.holds(Right.MANAGE_PEOPLE) else self.none()


class TableImport(OnceModel):
    """An import that was saved: what it made, by kind of record, as primary keys. It holds no cell of the file."""

    kind = models.CharField(max_length=12, choices=TableKind.choices)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    filename = models.CharField(max_length=160)
    rows = models.PositiveIntegerField()  # rows of the file that were looked at
    made: Any = models.JSONField(default=dict)
    gained = models.PositiveIntegerField(default=0)  # records that were here and got something more
    taken_back_at = models.DateTimeField(null=True, blank=True)
    taken_back_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = TableImportQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(taken_back_at__isnull=True, taken_back_by__isnull=True)
                | Q(taken_back_at__isnull=False, taken_back_by__isnull=False),
                name="table_import_taken_back_by_somebody",
            ),
        ]

    def __str__(self) -> str:
        return self.filename
