"""Fill an empty installation with the invented club."""

from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.test.utils import override_settings
from django.utils.timezone import now

from people.models import Club
from reports.demo.build import build_demo


class Command(BaseCommand):
    help = "Make the invented Ravensand club with a whole season. Refuses where a club exists already."
    requires_system_checks = ()  # whoever serves the demo next checks everything

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--migrate", action="store_true", help="bring the tables up to date first")
        parser.add_argument("--if-empty", action="store_true", help="do nothing where a club exists already")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["migrate"]:
            call_command("migrate", interactive=False, verbosity=0)
        if Club.objects.exists():
            if options["if_empty"]:
                return
            raise CommandError("This database holds a club already. Use an empty one for the demo.")
        self.stdout.write("Making the demo club and its season …")
        # Under DEBUG each of some fifty thousand statements is kept with its values, for a page that nobody sees.
        with override_settings(DEBUG=False):
            build_demo(at=now())
        self.stdout.write("Done.")
