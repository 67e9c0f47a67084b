"""An invitation: the one way to an account, by an address that was sent to the person's own mailbox."""

import uuid
from datetime import datetime
from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from tongue import noop
from web.once import OnceModel


class InvitationQuerySet(models.QuerySet["Invitation"]):
    def undecided(self) -> Self:
        """Neither accepted nor withdrawn; it may have run out."""
        return self.filter(accepted_at=None, withdrawn_at=None)

    def live(self, at: datetime) -> Self:
        """What still opens an account at `at`."""
        return self.undecided().filter(expires_at__gt=at, user__is_active=True)


class Invitation(OnceModel):
    """Asks one person to choose a password. `nonce` is what the address in the newest letter is signed over."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="invitations")
    nonce = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    sent_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    accepted_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects = InvitationQuerySet.as_manager()

    class Meta:
        ordering = ["-sent_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(accepted_at__isnull=True) | Q(withdrawn_at__isnull=True),
                name="invitation_accepted_or_withdrawn",
            ),
            models.CheckConstraint(
                condition=Q(expires_at__gt=F("sent_at")), name="invitation_expires_after_sent"
            ),
            models.UniqueConstraint(
                fields=["user"],
                condition=Q(accepted_at__isnull=True, withdrawn_at__isnull=True),
                name="invitation_one_undecided",
            ),
        ]

    def __str__(self) -> str:
        return f"invitation {self.pk}"

    def state(self, at: datetime) -> str:
        """What has become of it, in a word that `_()` says in the reader's language."""
        if self.accepted_at is not None:
            return noop("accepted")
        if self.withdrawn_at is not None:
            return noop("withdrawn")
        return noop("waiting") if self.expires_at > at else noop("run out")
