"""Make the key that opens the club's backups. Once, at a desk; the words say where it has to lie."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.timezone import now

from keeping.errors import KeepingError
from keeping.key import make_key

WORDS = """The secret key is in {path} (nobody but you may read it). WITHOUT IT NO BACKUP CAN BE OPENED, by anybody.
  1. Print the file, and copy it to two memory sticks. Give them to two officers who live apart.
  2. Then take it off this server: whoever gets the server must not get the backups as well.
  3. Set the open half in the settings of the server, where it may be seen by anybody:
     BACKUP_KEYS={public}
A second officer may have a key of their own: set both open halves, with a comma between them.
"""


class Command(BaseCommand):
    requires_system_checks = ()
    help = "Make the key pair for backups: the secret half into FILE, the open half on the screen."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="where the secret key is written; it must not exist yet")

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        try:
            public = make_key(file, at=now())
        except KeepingError as error:
            raise CommandError(str(error)) from error
        self.stdout.write(WORDS.format(path=file, public=public))
