"""Print the address on which a new club is set up in the browser: good for a day, once, while nobody has an account."""

from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.urls import reverse
from django.utils.timezone import now

from people.set_up import is_fresh, new_key


class Command(BaseCommand):
    help = "Print the private address on which the first person sets up the club. Works while nobody has an account."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--site", default=settings.PUBLIC_URL, help="address of the site (PUBLIC_URL)")
        parser.add_argument(
            "--if-fresh",
            action="store_true",
            help="print nothing, instead of failing, where there is an account",
        )

    def handle(self, *args: Any, site: str, if_fresh: bool, **options: Any) -> None:
        if not is_fresh():
            if if_fresh:
                return
            raise CommandError(
                "Somebody has an account already: they invite everybody else on the page of people."
            )
        if not site:
            raise CommandError(
                "Set PUBLIC_URL, or give --site https://club.example: the address begins with it."
            )
        address = site.rstrip("/") + reverse("set_up_begin", args=[new_key(at=now())])
        self.stdout.write(f"Set up the club here, within a day, once:\n{address}")
