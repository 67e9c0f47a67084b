"""The restore drill: prove a backup by bringing it back in a scratch place and comparing everything."""

from argparse import ArgumentParser
from datetime import datetime
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError
from django.utils.timezone import localdate, now

from keeping.actions import note_proof
from keeping.errors import KeepingError
from keeping.key import read_keys
from keeping.restore import drill
from keeping.words import came_back
from people.models import Club


class Command(BaseCommand):
    requires_system_checks = ()
    help = (
        "Bring a backup back into a scratch database and folder and compare; the club's own are not touched."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the backup")
        parser.add_argument("--key", type=Path, required=True, help="the file with the secret key")
        parser.add_argument(
            "--note", action="store_true", help="where this is the club's own server: note it there as proved"
        )

    def handle(self, *args: Any, file: Path, key: Path, note: bool, **options: Any) -> None:
        try:
            proof = drill(file, read_keys(key))
        except (KeepingError, OSError) as error:
            raise CommandError(f"THE BACKUP IS NOT PROVED. {error}") from error
        self.stdout.write(f"Proved: {came_back(proof, 'came back in a scratch place')}")
        if note:
            self._note(proof.made_at, now())
        else:
            self.stdout.write("Note the day under Club, Backups, so that Today knows it.")

    def _note(self, made_at: str, at: datetime) -> None:
        made_on = localdate(datetime.fromisoformat(made_at))
        try:
            note_proof(made_on=made_on, proved_on=localdate(at), by=None, at=at, via="backup_check")
        except (Club.DoesNotExist, DatabaseError) as error:
            raise CommandError(
                "The backup is proved, but there is no club here to note it for. Note it under Club, Backups."
            ) from error
