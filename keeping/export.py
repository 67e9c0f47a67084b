"""Everything a club has in open formats: a ZIP with a CSV file a table, its data dictionary, places and photographs."""

import hashlib
import json
import os
import zipfile
from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from django.core.files.storage import Storage, default_storage
from django.utils.translation import gettext as _

from keeping import places
from keeping.backup import Manifest, head_of
from keeping.dictionary import metadata, url_of
from keeping.errors import KeepingError
from keeping.files import names_of, pieces
from keeping.kinds import Kind, applied, kinds, registry_at
from keeping.sheets import lines_of
from keeping.snapshot import snapshot
from keeping.tables import Digest, Row, read_rows

FORMAT = "club-export/1"
LONG_AGO = (1980, 1, 1, 0, 0, 0)  # the same content gives the same file
READ_ME = """Everything the club has, in open formats.

tables/*.csv       one file a table (RFC 4180, UTF-8)
csv-metadata.json  what each table and column is (CSV on the Web, W3C)
places/*.geojson   places for a map (RFC 7946), made from the tables
files/             photographs and papers, under the names that the tables give
manifest.json      how many rows and bytes, with SHA-256, so that nothing can be lost unseen

A cell of text that a spreadsheet would run begins with an apostrophe; it is taken off again on import. Times are UTC.

KEEP IT LIKE THE CLUB'S KEYS. It is not sealed: exact findspots, landholders' and members' details and (hashed)
passwords stand in it. Delete it once it has been taken in elsewhere.
"""


def export(path: Path, *, at: datetime) -> Manifest:
    """Write the ZIP, whole or not at all, for its owner's eyes only; returns its manifest. Raises KeepingError."""
    if path.exists():
        raise KeepingError(_("%(path)s is there already; nothing is written over.") % {"path": path})
    part = path.with_name(path.name + ".part")
    handle = os.open(part, os.O_RDWR | os.O_CREAT | os.O_TRUNC, 0o600)
    try:
        with os.fdopen(handle, "w+b") as file:
            with zipfile.ZipFile(file, "w") as archive, snapshot() as alias:
                manifest = _Writer(archive).write(alias, default_storage, at=at)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    return manifest


class _Writer:
    """Files go into the archive piece by piece, each counted and hashed."""

    def __init__(self, archive: zipfile.ZipFile) -> None:
        self._archive = archive
        self.parts: dict[str, dict[str, Any]] = {}

    def write(self, alias: str, storage: Storage, *, at: datetime) -> Manifest:
        schema = applied(alias)
        tables = kinds(registry_at(schema))
        manifest = head_of(FORMAT, schema, tables, alias, at=at) | {
            "parts": self.parts,
            "files": {},
            "missing": {},
        }
        self._text("README.txt", [READ_ME])
        self._text("csv-metadata.json", [json.dumps(metadata(tables), indent=1, ensure_ascii=False)])
        for kind in tables.values():
            manifest["tables"][kind.label] |= self._table(kind, alias)
            if places.has_places(kind):
                self._text(f"places/{kind.label}.geojson", places.lines_of(kind, alias))
        for name, row in names_of(tables.values(), alias).items():
            self._file(storage, name, row, manifest)
        self._add("manifest.json", [json.dumps(manifest, indent=1, ensure_ascii=False).encode()])
        return manifest

    def _table(self, kind: Kind, alias: str) -> dict[str, Any]:
        digest = Digest(kind)

        def rows() -> Iterator[Row]:
            return (digest.add(row) for row in read_rows(kind, alias))

        self._text(url_of(kind.label), lines_of(kind, rows()))
        return digest.told()

    def _text(self, name: str, lines: Iterable[str]) -> None:
        self.parts[name] = self._add(name, (line.encode() for line in lines))

    def _file(self, storage: Storage, name: str, row: str, manifest: Manifest) -> None:
        try:
            file = storage.open(name)
        except FileNotFoundError:
            manifest["missing"][name] = row
            return
        with file:
            manifest["files"][name] = self._add(f"files/{name}", pieces(file), zipfile.ZIP_STORED)

    def _add(self, name: str, chunks: Iterable[bytes], how: int = zipfile.ZIP_DEFLATED) -> dict[str, Any]:
        info = zipfile.ZipInfo(name, LONG_AGO)
        info.compress_type, info.external_attr = how, 0o600 << 16
        found, length = hashlib.sha256(), 0
        with self._archive.open(info, "w", force_zip64=True) as out:
            for chunk in chunks:
                out.write(chunk)
                found.update(chunk)
                length += len(chunk)
        return {"bytes": length, "sha256": found.hexdigest()}
