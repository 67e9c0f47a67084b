"""Write a sealed backup of database and photographs while the club goes on working."""

from argparse import ArgumentParser
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError
from django.utils.timezone import now

from keeping.backup import back_up
from keeping.errors import KeepingError
from keeping.key import read_recipients
from keeping.trail import note
from keeping.words import missing_words, size_words
from people.kept import BACKUP

PATTERN = "club-*.backup.age"
A_DAY = timedelta(days=1)


class Command(BaseCommand):
    help = (
        "Write one sealed file with everything: every table and every photograph, as they are at one moment."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "where", type=Path, help="a folder, where a name with the time is made, or a new file"
        )
        parser.add_argument(
            "--for", dest="recipients", action="append", help="open half of a key, age1… (BACKUP_KEYS)"
        )
        parser.add_argument(
            "--keep", type=int, help="in a folder: how many backups stay; older ones are deleted"
        )

    def handle(
        self, *args: Any, where: Path, recipients: list[str] | None, keep: int | None, **options: Any
    ) -> None:
        at = now()
        if keep is not None and (keep < 2 or not where.is_dir()):
            raise CommandError(
                f"--keep is {keep}; give 2 or more, and a folder: one backup alone may be a bad one."
            )
        path = where / f"club-{at:%Y-%m-%dT%H%M%SZ}.backup.age" if where.is_dir() else where
        try:
            manifest = back_up(path, read_recipients(recipients or settings.BACKUP_KEYS), at=at)
        except (KeepingError, OSError) as error:
            raise CommandError(f"No backup was made. {error}") from error
        self._told(path, manifest, at)
        if manifest["missing"]:
            raise CommandError(f"The backup was made, but {missing_words(manifest['missing'])}")
        if keep is not None:
            self._forget(where, keep, at)

    def _told(self, path: Path, manifest: dict[str, Any], at: datetime) -> None:
        rows, files = sum(each["rows"] for each in manifest["tables"].values()), len(manifest["files"])
        try:
            note(BACKUP, via="backup", at=at, rows=rows, files=files)
        except DatabaseError as error:  # a replica takes no writes
            self.stderr.write(f"The audit trail could not be told of it: {str(error).partition(chr(10))[0]}.")
        size = size_words(path.stat().st_size)
        self.stdout.write(
            f"{path}: {rows:,} rows and {files:,} photographs and papers, {size}. "
            "Copy it off this machine, and prove it with backup_check."
        )

    def _forget(self, folder: Path, keep: int, at: datetime) -> None:
        for old in sorted(folder.glob(PATTERN))[:-keep]:
            old.unlink()
            self.stdout.write(f"{old.name} was deleted; the newest {keep} stay.")
        for broken in folder.glob(f"{PATTERN}.part"):  # of a run that was killed, and not of one beside this
            if broken.stat().st_mtime < (at - A_DAY).timestamp():
                broken.unlink()
