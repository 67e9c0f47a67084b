"""Let go of what was only held for a while: run it once a day."""

from argparse import ArgumentParser
from datetime import datetime
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.timezone import now

from keeping.actions import tidy_files, tidy_up
from keeping.errors import KeepingError
from keeping.retention import RULES
from keeping.strays import WORDS, stray_files


class Command(BaseCommand):
    help = "Delete what is past its time: sign-ins, drafts, codes, closed links, photographs, letters, stray files."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--dry-run", action="store_true", help="only say what would go")

    def handle(self, *args: Any, dry_run: bool, **options: Any) -> None:
        at = now()
        counts = (
            {rule.key: rule.rows(at).count() for rule in RULES} if dry_run else tidy_up(via="tidy", at=at)
        )
        for rule in RULES:
            if counts[rule.key]:
                self.stdout.write(f"{counts[rule.key]:>7,} {rule.words}")
        strays = self._strays(dry_run, at)
        if strays:
            self.stdout.write(f"{strays:>7,} {WORDS}")
        if not strays and not any(counts.values()):
            self.stdout.write("Nothing is past its time.")
        elif dry_run:
            self.stdout.write("Nothing was changed: this was a look.")

    def _strays(self, dry_run: bool, at: datetime) -> int:
        try:
            return len(stray_files(at)) if dry_run else tidy_files(via="tidy", at=at)
        except KeepingError as error:
            raise CommandError(str(error)) from error
