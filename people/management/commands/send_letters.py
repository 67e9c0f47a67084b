"""Send what waits in the outbox. Run it every minute, or as a service with --loop; two at once do no harm."""

import signal
from argparse import ArgumentParser
from threading import Event
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import close_old_connections
from django.utils.timezone import now

from people.outbox import send_due, tidy


class Command(BaseCommand):
    requires_system_checks = ()  # it starts every minute; the checks were made when the site was set up
    help = "Send the e-mails that wait in the outbox, each once; what fails is tried again later."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--loop", action="store_true", help="go on until stopped, for a service")
        parser.add_argument(
            "--every", type=int, default=30, help="seconds between two looks with --loop (30)"
        )

    def handle(self, *args: Any, loop: bool, every: int, **options: Any) -> None:
        if not 1 <= every <= 3600:
            raise CommandError(f"--every is {every}; give 1 to 3600 seconds.")
        stop = Event()
        if loop:
            for name in (signal.SIGTERM, signal.SIGINT):
                signal.signal(name, lambda *_: stop.set())  # the letter in hand is finished first
        while not stop.is_set():
            self._look(stop, quiet=loop)
            if not loop:
                break
            close_old_connections()
            stop.wait(every)

    def _look(self, stop: Event, *, quiet: bool) -> None:
        tidy(at=now())
        counts = send_due(clock=now, stop=stop.is_set)
        waiting = counts["server"] + counts["later"]
        words = f"{counts['sent']} sent, {waiting} wait for another try, {counts['never']} refused for good"
        if counts["unsure"]:
            words += f", {counts['unsure']} perhaps sent (see the outbox)"
        if counts["server"]:
            words += ". The mail server is in trouble; see the outbox"
        if counts.total() or not quiet:
            self.stdout.write(f"{words}.")
