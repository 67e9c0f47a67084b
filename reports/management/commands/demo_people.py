"""Say who may log in to the demo, and where its landholders' pages are."""

from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.urls import reverse
from django.utils.timezone import now

from permissions.links import key_of
from permissions.models import LandholderLink
from reports.demo.folk import CAST, PASSWORD


class Command(BaseCommand):
    help = "Print the demo's log-ins and one landholder's private address."
    requires_system_checks = ()  # reads a few rows; whoever serves the demo next checks everything

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--base", default="http://127.0.0.1:8000")

    def handle(self, *args: Any, **options: Any) -> None:
        self.stdout.write(f"Sign in at {options['base']} with the password {PASSWORD} as")
        for login, name, roles in CAST:
            what = ", ".join(role.value for role in roles) or "member"
            self.stdout.write(f"  {login}@ravensand.example  {name} ({what})")
        link = LandholderLink.objects.live(now()).order_by("pk").first()
        if link is not None:
            self.stdout.write(
                f"A landholder's page: {options['base']}{reverse('reports:landholder', args=[key_of(link)])}"
            )
