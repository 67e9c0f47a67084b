"""Photographs and papers: which there should be, out of the storage in pieces, and in under their own names."""

import hashlib
from collections.abc import Iterable, Iterator
from tempfile import SpooledTemporaryFile
from typing import IO, Any

from django.core.exceptions import SuspiciousOperation
from django.core.files import File
from django.core.files.storage import Storage
from django.utils.translation import gettext as _

from keeping.errors import KeepingError
from keeping.kinds import Kind

A_PIECE = 1024 * 1024
IN_MEMORY = 8 * A_PIECE


def names_of(kinds: Iterable[Kind], alias: str) -> dict[str, str]:
    """Every file that a row names, each with the first row that does."""
    found: dict[str, str] = {}
    for kind in kinds:
        for column in kind.files:
            for pk, name in kind.rows(alias).values_list("pk", column).iterator(chunk_size=1000):
                if name:
                    found.setdefault(name, f"{kind.label} {pk}")
    return found


def pieces(file: IO[bytes]) -> Iterator[bytes]:
    while piece := file.read(A_PIECE):
        yield piece


def facts_of(file: IO[bytes]) -> dict[str, Any]:
    """Length and hash of an open file."""
    found, length = hashlib.sha256(), 0
    for piece in pieces(file):
        found.update(piece)
        length += len(piece)
    return {"bytes": length, "sha256": found.hexdigest()}


def put(storage: Storage, name: str, source: IO[bytes]) -> None:
    """Store a file under exactly this name. Raises KeepingError where one is there, or the name leads elsewhere."""
    with SpooledTemporaryFile(max_size=IN_MEMORY) as whole:  # a storage may want its length first
        for piece in pieces(source):
            whole.write(piece)
        whole.seek(0)
        try:
            if storage.exists(name):
                raise KeepingError(
                    _("%(name)s is in the folder of photographs already; it must be empty.") % {"name": name}
                )
            stored = storage.save(name, File(whole))
        except SuspiciousOperation as error:
            raise KeepingError(
                _("“%(name)s” is no name for a file in the folder of photographs.") % {"name": name}
            ) from error
    if stored != name:
        storage.delete(stored)
        raise KeepingError(_("%(name)s could not be stored under its own name.") % {"name": name})


def check_files(
    storage: Storage, named: dict[str, str], told: dict[str, dict[str, Any]], missing: list[str]
) -> None:
    """Read every stored file again and compare. Raises KeepingError naming the file and the row it belongs to."""
    for name, row in named.items():
        if name in missing:
            continue
        if name not in told:
            raise KeepingError(_("%(name)s, which %(row)s names, is not there.") % {"name": name, "row": row})
        with storage.open(name) as file:
            if facts_of(file) != told[name]:
                raise KeepingError(
                    _("%(name)s, which %(row)s names, is not what it was; its hash differs.")
                    % {"name": name, "row": row}
                )
