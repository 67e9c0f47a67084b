"""Take a club's export into an empty installation."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.timezone import now

from keeping.bring_in import bring_in
from keeping.errors import KeepingError
from keeping.trail import note
from keeping.words import came_back, missing_words


class Command(BaseCommand):
    requires_system_checks = ()  # there may be no tables yet
    help = "Take what export_club wrote into an EMPTY installation, all of it or nothing."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the ZIP that export_club wrote")

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        try:
            proof = bring_in(file)
        except (KeepingError, OSError) as error:
            raise CommandError(f"Nothing was taken in. {error}") from error
        note(
            "club.import",
            via="import_club",
            at=now(),
            rows=proof.rows,
            files=proof.files,
            made_at=proof.made_at,
        )
        self.stdout.write(came_back(proof, "were taken in"))
        if proof.missing:
            self.stderr.write(f"When the export was made, {missing_words(proof.missing)}")
