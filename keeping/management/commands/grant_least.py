"""Give the account that serves the site what it needs in PostgreSQL, and nothing else: after each migration."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from keeping.errors import KeepingError
from keeping.least import grant_least


class Command(BaseCommand):
    help = "Run as the owner of the tables: grant an account what serving the site needs, no more."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("role", help="the account of PostgreSQL that the site connects as")

    def handle(self, *args: Any, role: str, **options: Any) -> None:
        try:
            with transaction.atomic():
                count = grant_least(role)
        except KeepingError as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"“{role}” may work with {count} tables, and owns none of them.")
