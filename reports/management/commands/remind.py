"""Send each person the day's list of what is due. For the scheduler, once a day; safe to run again."""

from argparse import ArgumentParser
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils.timezone import localdate, now

from people.letter_kinds import LetterKind
from people.letters import Draft
from people.models import Letter, User
from people.outbox import send_due, tidy
from reports.actions import send_reminder
from reports.digest import count_of, digest_of
from reports.mail import letter
from reports.today import Group

VIA = "command remind"
KINDS = (LetterKind.DIGEST, LetterKind.DUTY_LIST)


class Command(BaseCommand):
    help = "Send each person the day's list of what is due. Run it once a day; running it again sends nothing twice."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--days", type=int, default=14, help="list what is due within so many days (14)")
        parser.add_argument("--address", default=settings.PUBLIC_URL, help="address of the site, for links")
        parser.add_argument(
            "--dry-run", action="store_true", help="say who would be written to; send nothing"
        )

    def handle(self, *args: Any, days: int, address: str, dry_run: bool, **options: Any) -> None:
        if not 0 <= days <= 365:
            raise CommandError(f"--days is {days}; give 0 to 365.")
        at, queued = now(), 0
        for user in User.objects.members_on(localdate(at)).filter(is_active=True).order_by("pk"):
            if groups := digest_of(user, at=at, days=days):
                if dry_run:
                    self.stdout.write(f"{user.name}: {count_of(groups)}")
                else:
                    draft = _letter(user, groups, address, at)
                    queued += send_reminder(user, draft, via=VIA, at=at, items=count_of(groups)) is not None
        if not dry_run:
            self._send(queued, at)

    def _send(self, queued: int, at: datetime) -> None:
        """Everything at once over one connection; what is not taken now waits in the outbox."""
        tidy(at=at)
        counts = send_due(clock=now, kinds=KINDS)
        waiting = Letter.objects.unsettled().filter(kind__in=KINDS).count()
        self.stdout.write(f"{queued} lists made, {counts['sent']} sent, {waiting} wait in the outbox.")
        if waiting:
            raise CommandError("Some lists were not taken; send_letters tries those once more.")


def _letter(user: User, groups: list[Group], address: str, at: datetime) -> Draft:
    """The day's list; over when the next one is made."""
    return letter(
        user.email,
        "digest",
        kind=LetterKind.DIGEST if user.wants_digest else LetterKind.DUTY_LIST,
        expires_at=at + timedelta(hours=20),
        person=user,
        groups=groups,
        count=count_of(groups),
        address=address.rstrip("/"),
        today=localdate(at),
    )
