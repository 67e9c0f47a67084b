"""Send each person the day's list of what is due. For the scheduler, once a day; safe to run again."""

from argparse import ArgumentParser
from datetime import datetime
from smtplib import SMTPException
from typing import Any

from django.conf import settings
from django.core.mail import EmailMultiAlternatives, get_connection
from django.core.mail.backends.base import BaseEmailBackend
from django.core.management.base import BaseCommand, CommandError
from django.utils.timezone import localdate, now

from people.models import User
from reports.actions import claim_reminder, settle_reminder
from reports.digest import count_of, digest_of
from reports.mail import letter
from reports.today import Group

VIA = "command remind"


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
        at, counts = now(), {"sent": 0, "refused": 0}
        with get_connection() as connection:
            for user in User.objects.members_on(localdate(at)).filter(is_active=True).order_by("pk"):
                if groups := digest_of(user, at=at, days=days):
                    if dry_run:
                        self.stdout.write(f"{user.name}: {count_of(groups)}")
                    else:
                        self._write_to(user, groups, address, at, connection, counts)
        self.stdout.write(f"{counts['sent']} sent, {counts['refused']} refused by the mail server.")
        if counts["refused"]:
            raise CommandError("Some lists were not taken; run the command again to try those once more.")

    def _write_to(
        self,
        user: User,
        groups: list[Group],
        address: str,
        at: datetime,
        connection: BaseEmailBackend,
        counts: dict[str, int],
    ) -> None:
        row = claim_reminder(user, via=VIA, at=at, items=count_of(groups))
        if row is None:
            return
        taken = self._send(_letter(user, groups, address, at), connection)
        settle_reminder(row.pk, via=VIA, at=now(), sent=taken)
        counts["sent" if taken else "refused"] += 1

    def _send(self, mail: EmailMultiAlternatives, connection: BaseEmailBackend) -> bool:
        mail.connection = connection
        try:
            return bool(mail.send())
        except (SMTPException, OSError) as error:
            self.stderr.write(f"{mail.to[0]}: {error}")
            return False


def _letter(user: User, groups: list[Group], address: str, at: datetime) -> EmailMultiAlternatives:
    mail = letter(
        user.email,
        "digest",
        person=user,
        groups=groups,
        count=count_of(groups),
        address=address.rstrip("/"),
        today=localdate(at),
    )
    mail.extra_headers["Auto-Submitted"] = "auto-generated"  # RFC 3834: no holiday reply, please
    return mail
