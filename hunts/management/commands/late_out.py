"""Send the alarms about people who are late. Run it every five minutes; the same alarm is sent once."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.timezone import now

from hunts.actions import alarm_about_hunt, alarm_about_lone_hunt
from hunts.late import late_hunts, late_lone_hunts
from people.letter_kinds import LetterKind
from people.models import Letter
from people.outbox import send_due, tidy


class Command(BaseCommand):
    help = "Tell by e-mail who has not come back: 30 and 60 minutes after a hunt's finish or a lone hunt's due time."

    def handle(self, *args: Any, **options: Any) -> None:
        at = now()
        tidy(at=at)
        made = 0
        for rows, alarm in ((late_hunts(at), alarm_about_hunt), (late_lone_hunts(at), alarm_about_lone_hunt)):
            made += sum(alarm(row.pk, via="late_out", at=at) is not None for row in rows)
        send_due(clock=now, kinds=[LetterKind.LATE])
        waiting = Letter.objects.unsettled().filter(kind=LetterKind.LATE)
        self.stdout.write(f"{made} alarm{'' if made == 1 else 's'} sent.")
        if waiting:
            said = "; ".join(f"{letter.to}: {letter.last_error}" for letter in waiting)
            raise CommandError(f"Not sent, and tried again at the next run: {said}")
