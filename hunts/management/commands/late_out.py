"""Send the alarms about people who are late. Run it every five minutes; the same alarm is sent once."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.timezone import now

from hunts.actions import alarm_about_hunt, alarm_about_lone_hunt
from hunts.late import late_hunts, late_lone_hunts


class Command(BaseCommand):
    help = "Tell by e-mail who has not come back: 30 and 60 minutes after a hunt's finish or a lone hunt's due time."

    def handle(self, *args: Any, **options: Any) -> None:
        at = now()
        sent, failed = 0, []
        for rows, alarm in ((late_hunts(at), alarm_about_hunt), (late_lone_hunts(at), alarm_about_lone_hunt)):
            for row in rows:
                try:
                    sent += alarm(row.pk, via="late_out", at=at) is not None
                except (
                    OSError
                ) as error:  # smtplib's errors are OSErrors: one server's trouble stops no other alarm
                    failed.append(f"{row}: {error}")
        self.stdout.write(f"{sent} alarm{'' if sent == 1 else 's'} sent.")
        if failed:
            raise CommandError(f"Not sent, and tried again at the next run: {'; '.join(failed)}")
