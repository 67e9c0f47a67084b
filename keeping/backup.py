"""What a backup holds: a head, the rows of every table as JSON lines, every photograph, and a manifest of it all."""

import gzip
import hashlib
import json
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pyrage
from django.core.files.storage import Storage, default_storage
from django.db import DEFAULT_DB_ALIAS
from django.utils.translation import gettext as _

from keeping.cells import encode
from keeping.errors import KeepingError
from keeping.files import names_of, pieces
from keeping.kinds import LEFT_OUT, Kind, applied, kinds, registry_at
from keeping.numbering import numbers_given
from keeping.sealed import Member, seal
from keeping.snapshot import snapshot
from keeping.tables import Digest, read_rows

FORMAT = "club-backup/1"
A_PART = 4 * 1024 * 1024
"""Bytes of rows that are held at a time, before they are packed."""
Manifest = dict[str, Any]


def back_up(
    path: Path,
    recipients: list[pyrage.x25519.Recipient],
    *,
    at: datetime,
    source: str = DEFAULT_DB_ALIAS,
    storage: Storage = default_storage,
) -> Manifest:
    """Write a sealed backup of the database and its photographs, as they are at one moment, and return its manifest.

    `missing` there names files that rows speak of and the storage has not. Raises KeepingError.
    """
    if path.exists():
        raise KeepingError(_("%(path)s is there already; a backup is never written over.") % {"path": path})
    manifest: Manifest = {"parts": {}, "tables": {}, "files": {}, "missing": {}}
    with snapshot(source) as alias:
        schema = applied(alias)
        tables = kinds(registry_at(schema))
        head = head_of(FORMAT, schema, tables, alias, at=at)
        seal(path, recipients, _members(head, tables, alias, storage, manifest))
    return manifest


def head_of(
    format_: str, schema: list[str], tables: dict[str, Kind], alias: str, *, at: datetime
) -> dict[str, Any]:
    """What has to be known before anything is read: the format, the state of the schema, tables and columns."""
    return {
        "format": format_,
        "made_at": at.isoformat(),
        "schema": schema,
        "left_out": LEFT_OUT,
        "numbers": numbers_given(tables.values(), alias),
        "tables": {
            label: {
                "rows": kind.rows(alias).count(),
                "columns": {name: field.get_internal_type() for name, field in kind.fields.items()},
            }
            for label, kind in tables.items()
        },
    }


def _members(
    head: dict[str, Any], tables: dict[str, Kind], alias: str, storage: Storage, manifest: Manifest
) -> Iterator[Member]:
    yield _document("head.json", head)
    for kind in tables.values():
        yield from _row_parts(kind, alias, manifest)
    for name, row in names_of(tables.values(), alias).items():
        yield from _file(storage, name, row, manifest)
    yield _document("manifest.json", manifest)


def _document(name: str, content: dict[str, Any]) -> Member:
    data = json.dumps(content, indent=1, ensure_ascii=False).encode()
    return Member(name, len(data), [data])


def _row_parts(kind: Kind, alias: str, manifest: Manifest) -> Iterator[Member]:
    digest = Digest(kind)
    for number, lines in enumerate(_in_parts(kind, alias, digest), 1):
        name = f"rows/{kind.label}/{number:06}.jsonl.gz"
        data = gzip.compress(lines, compresslevel=6, mtime=0)
        manifest["parts"][name] = {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
        yield Member(name, len(data), [data])
    manifest["tables"][kind.label] = digest.told()


def _in_parts(kind: Kind, alias: str, digest: Digest) -> Iterator[bytes]:
    waiting = bytearray()
    for row in read_rows(kind, alias):
        line = {name: encode(value) for name, value in digest.add(row).items()}
        waiting += json.dumps(line, separators=(",", ":")).encode("ascii") + b"\n"
        if len(waiting) >= A_PART:
            yield bytes(waiting)
            waiting.clear()
    if waiting:
        yield bytes(waiting)


def _file(storage: Storage, name: str, row: str, manifest: Manifest) -> Iterator[Member]:
    try:
        file, size = storage.open(name), storage.size(name)
    except FileNotFoundError:
        manifest["missing"][name] = row
        return
    with file:
        yield Member(f"files/{name}", size, _hashed(file, name, size, manifest))


def _hashed(file: Any, name: str, size: int, manifest: Manifest) -> Iterator[bytes]:
    found = hashlib.sha256()
    for piece in pieces(file):
        found.update(piece)
        yield piece
    manifest["files"][name] = {"bytes": size, "sha256": found.hexdigest()}
