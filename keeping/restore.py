"""Bring a backup back: into a scratch place to prove it, or into an empty installation."""

import gzip
import hashlib
import json
import tarfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO, Any

import pyrage
from django.core.files.storage import FileSystemStorage, default_storage
from django.db import DEFAULT_DB_ALIAS
from django.utils.translation import gettext as _

from keeping.backup import FORMAT
from keeping.errors import KeepingError
from keeping.intake import Intake, bring_up_to_date, make_ready, taking_in
from keeping.kinds import kinds, registry_at
from keeping.sealed import opened, read_all
from keeping.snapshot import scratch

Keys = list[pyrage.x25519.Identity]


@dataclass(frozen=True)
class Proof:
    """What was counted and compared. `missing` was not there any more when the backup was made."""

    made_at: str
    tables: int
    rows: int
    files: int
    bytes: int
    missing: dict[str, str]
    brought_up_to_date: bool = False


def drill(path: Path, keys: Keys) -> Proof:
    """Restore into a scratch database and a scratch folder, compare, and take both away. The club's own are not
    touched. Raises KeepingError saying what is wrong with the backup."""
    with TemporaryDirectory(prefix="drill-") as place, ExitStack() as stack:
        folder = Path(place)

        def make(schema: list[str]) -> Intake:
            tables = kinds(registry_at(schema))
            alias = stack.enter_context(scratch(folder, tables))
            return Intake(alias, tables, FileSystemStorage(folder / "files"))

        proof = bring(path, keys, make)
    if proof.missing:
        name, row = next(iter(proof.missing.items()))
        raise KeepingError(
            _(
                "%(proof_missing)s of the files that rows name were not there any more when the backup "
                "was made: %(name)s (%(row)s) first. All else came back and is the same."
            )
            % {"proof_missing": len(proof.missing), "name": name, "row": row}
        )
    return proof


def restore(path: Path, keys: Keys) -> Proof:
    """Bring a backup back into this installation, which must be empty. Raises KeepingError; then nothing is kept."""
    seen: list[str] = []

    def make(schema: list[str]) -> Intake:
        tables = kinds(registry_at(schema))
        make_ready(schema)
        seen.extend(schema)
        return Intake(DEFAULT_DB_ALIAS, tables, default_storage)

    proof = bring(path, keys, make)
    return Proof(**{**vars(proof), "brought_up_to_date": bring_up_to_date(seen)})


def bring(path: Path, keys: Keys, make: Callable[[list[str]], Intake]) -> Proof:
    """Read the backup from front to back into what `make` gives for its schema; compared before it is kept."""
    with ExitStack() as held:
        with opened(path, keys) as tar:
            members = iter(tar)
            head = _head(tar, members)
            intake = held.enter_context(taking_in(make(head["schema"])))
            intake.numbers = head.get("numbers", {})  # backups of the first weeks have none
            manifest = _contents(tar, members, intake)
        rows = intake.check(manifest)
    sizes = [each["bytes"] for each in manifest["files"].values()]
    return Proof(head["made_at"], len(intake.tables), rows, len(sizes), sum(sizes), manifest["missing"])


def _head(tar: tarfile.TarFile, members: Iterator[tarfile.TarInfo]) -> dict[str, Any]:
    first = next(members, None)
    head: Any = _json(read_all(tar, first)) if first is not None and first.name == "head.json" else {}
    if not isinstance(head, dict) or head.get("format") != FORMAT:
        raise KeepingError(_("That is no backup of this program, or one that a newer version made."))
    return head


def _contents(tar: tarfile.TarFile, members: Iterator[tarfile.TarInfo], intake: Intake) -> dict[str, Any]:
    seen: dict[str, dict[str, Any]] = {}
    for info in members:
        kind, _rest, rest = info.name.partition("/")
        file = read_all(tar, info)
        if kind == "rows":
            data = file.read()
            seen[info.name] = {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
            intake.take_rows(rest.partition("/")[0], _lines(info.name, data))
        elif kind == "files":
            intake.take_file(rest, file)
        elif info.name == "manifest.json":
            return _agreed(_json(file), seen, intake.files)
        else:
            raise KeepingError(
                _("“%(info_name)s” is nothing that a backup holds.") % {"info_name": info.name}
            )
    raise KeepingError(_("The backup has no manifest at its end: it was never finished."))


def _agreed(manifest: dict[str, Any], parts: dict[str, dict[str, Any]], files: list[str]) -> dict[str, Any]:
    """The manifest, once it names just what came."""
    if manifest["parts"] != parts:
        raise KeepingError(
            _("%(odd)s in the backup is not what its manifest says.")
            % {"odd": _odd(manifest["parts"], parts)}
        )
    if gone := sorted(manifest["files"].keys() ^ set(files)):
        raise KeepingError(
            _("%(gone)s, which the manifest names, is not in the backup (%(value)s in all).")
            % {"gone": gone[0], "value": len(gone)}
        )
    return manifest


def _odd(told: dict[str, Any], came: dict[str, Any]) -> str:
    return next(name for name in sorted(told.keys() | came.keys()) if told.get(name) != came.get(name))


def _json(file: IO[bytes]) -> Any:
    try:
        return json.load(file)
    except ValueError as error:
        raise KeepingError(_("The head or the manifest of the backup cannot be read.")) from error


def _lines(name: str, data: bytes) -> Iterator[dict[str, Any]]:
    try:
        for line in gzip.decompress(data).splitlines():
            yield json.loads(line)
    except (OSError, EOFError, zlib.error, ValueError) as error:
        raise KeepingError(
            _("%(name)s in the backup cannot be read: %(error)s.") % {"name": name, "error": error}
        ) from error
