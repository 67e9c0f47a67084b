"""Bring a backup back into an empty installation."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.timezone import now

from keeping.errors import KeepingError
from keeping.key import read_keys
from keeping.restore import restore
from keeping.trail import note
from keeping.words import came_back, missing_words


class Command(BaseCommand):
    requires_system_checks = ()  # there may be no tables yet
    help = "Bring a backup back into an EMPTY installation, all of it or nothing; on SQLite or PostgreSQL."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the backup")
        parser.add_argument("--key", type=Path, required=True, help="the file with the secret key")

    def handle(self, *args: Any, file: Path, key: Path, **options: Any) -> None:
        try:
            proof = restore(file, read_keys(key))
        except (KeepingError, OSError) as error:
            raise CommandError(f"Nothing was brought back. {error}") from error
        note(
            "club.restore", via="restore", at=now(), rows=proof.rows, files=proof.files, made_at=proof.made_at
        )
        self.stdout.write(came_back(proof, "are back"))
        if proof.brought_up_to_date:
            self.stdout.write("The database was then brought up to date with this version of the program.")
        if proof.missing:
            self.stderr.write(f"When the backup was made, {missing_words(proof.missing)}")
        self.stdout.write(
            "Everybody signs in anew. Links in e-mails work if DJANGO_SECRET_KEY is the old one."
        )
