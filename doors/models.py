"""Keys by which a person's other programs read: what each opens, until when, and when it was last used."""

from datetime import datetime
from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from web.once import OnceModel


class Purpose(models.TextChoices):
    DATA = "data", _lazy("Records, for a map or table program")
    CALENDAR = "calendar", _lazy("Calendar, for a calendar program")


class AccessTokenQuerySet(models.QuerySet["AccessToken"]):
    def visible_to(self, user: User) -> Self:
        """One's own, for everybody."""
        return self.filter(user=user)

    def live(self, at: datetime) -> Self:
        """What opens anything at `at`: signing out everywhere, as a new password does, ends keys as well."""
        standing = self.filter(revoked_at=None, expires_at__gt=at, user__is_active=True)
        return standing.filter(epoch=F("user__sessions_epoch"))


class AccessToken(OnceModel):
    """A key of one person. Only its SHA-256 is kept: it is 256 random bits, so nobody finds it by trying words."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="access_tokens")
    label = models.CharField(_lazy("What is it for?"), max_length=60)
    purpose = models.CharField(max_length=8, choices=Purpose.choices)
    # Identifiers of collections, spaces between. A key that stands in an address, as a calendar's does, opens none.
    scope = models.CharField(max_length=120, blank=True)
    digest = models.CharField(max_length=64, unique=True, editable=False)
    epoch = models.PositiveIntegerField(editable=False)  # the account's sessions_epoch when it was made
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    last_used_on = models.DateField(null=True, blank=True)

    objects = AccessTokenQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(expires_at__gt=F("made_at")), name="token_expires_after_made"),
            models.CheckConstraint(
                condition=(Q(purpose=Purpose.DATA) & ~Q(scope="")) | Q(purpose=Purpose.CALENDAR, scope=""),
                name="token_scope_with_purpose",
            ),
        ]

    def __str__(self) -> str:
        return self.label

    @property
    def collections(self) -> frozenset[str]:
        """Identifiers of the collections that it opens."""
        return frozenset(self.scope.split())

    def state(self, at: datetime, epoch: int) -> str:
        """What has become of it: `open`, or why it opens nothing. `epoch` is the account's today."""
        if self.revoked_at is not None:
            return "revoked"
        if self.expires_at <= at:
            return "expired"
        return "open" if self.epoch == epoch else "ended"
