"""When the club's records were last kept and last proved, as the audit trail has it."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.conf import settings
from django.db.models.functions import Now
from django.utils.timezone import localdate

from people.models import AuditEntry

BACKUP, PROVED = "club.backup", "club.backup_proved"
CLUB = "people.Club:1"
MONTHLY = 40
"""Days after a proof until the next is late: once a month, with some days' grace."""


@dataclass(frozen=True)
class Kept:
    """`backup` is when the last one was made; `proved` the day on which one was last brought back in a scratch place,
    and `proved_of` the day that one was made."""

    backup: datetime | None
    proved: date | None
    proved_of: date | None = None

    def is_backup_late(self, at: datetime) -> bool:
        return self.backup is None or self.backup < at - timedelta(days=settings.BACKUP_WARN_DAYS)

    def is_proof_late(self, at: datetime) -> bool:
        return self.proved is None or self.proved < localdate(at) - timedelta(days=MONTHLY)


def last_kept() -> Kept:
    lines = AuditEntry.objects.filter(subject=CLUB).order_by("-at", "-pk")
    backup = lines.filter(verb=BACKUP).first()
    proof = lines.filter(verb=PROVED).first()
    made = backup.at if backup else None
    if proof is None:
        return Kept(made, None)
    days = (date.fromisoformat(proof.changes[name]) for name in ("proved_on", "made_on"))
    return Kept(made, *days)


def was_kept_within(span: timedelta) -> bool:
    """By the database's own clock: for checks, which nobody hands a moment."""
    return AuditEntry.objects.filter(subject=CLUB, verb=BACKUP, at__gt=Now() - span).exists()


def is_watched() -> bool:
    """Is anybody to be reminded of backups? Not in development, and not where the club said 0."""
    return bool(settings.BACKUP_WARN_DAYS > 0)
