"""Write everything the club has in open formats, to read with other programs or to move to another installation."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.timezone import now

from keeping.errors import KeepingError
from keeping.export import export
from keeping.trail import note
from keeping.words import missing_words, size_words


class Command(BaseCommand):
    help = "Write a ZIP with every table as CSV, a data dictionary, GeoJSON and every photograph. It is not sealed."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the ZIP to write; it must not exist yet")

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        at = now()
        try:
            manifest = export(file, at=at)
        except (KeepingError, OSError) as error:
            raise CommandError(f"Nothing was exported. {error}") from error
        rows, files = sum(each["rows"] for each in manifest["tables"].values()), len(manifest["files"])
        note("club.export", via="export_club", at=at, rows=rows, files=files)
        self.stdout.write(
            f"{file}: {rows:,} rows and {files:,} photographs and papers, {size_words(file.stat().st_size)}. "
            "It is NOT sealed and holds exact findspots and people's details: keep it like the club's keys."
        )
        if manifest["missing"]:
            raise CommandError(f"The export was made, but {missing_words(manifest['missing'])}")
