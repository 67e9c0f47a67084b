"""Take a club's export into an empty installation, with nothing lost: counted and compared."""

import json
import zipfile
from pathlib import Path
from typing import Any

from django.core.files.storage import default_storage
from django.db import DEFAULT_DB_ALIAS
from django.utils.translation import gettext as _

from keeping.dictionary import url_of
from keeping.errors import KeepingError
from keeping.export import FORMAT
from keeping.files import facts_of
from keeping.intake import Intake, bring_up_to_date, make_ready, taking_in
from keeping.kinds import kinds, registry_at
from keeping.restore import Proof
from keeping.sheets import read_lines

WANTED = {"parts": dict, "files": dict, "tables": dict, "schema": list, "missing": dict}
MOST_OF_MANIFEST = 256 * 1024 * 1024
"""It names each photograph with its hash, about 160 bytes each: more than a million of them."""


def bring_in(path: Path) -> Proof:
    """Bring an export into this installation. Raises KeepingError saying what is wrong; then nothing is kept."""
    try:
        with zipfile.ZipFile(path) as archive:
            manifest = _manifest(archive)
            _check_parts(archive, manifest)
            return _bring(archive, manifest)
    except (OSError, zipfile.BadZipFile, EOFError, RecursionError) as error:
        raise KeepingError(
            _("%(path)s cannot be read as an export: %(error)s.") % {"path": path, "error": error}
        ) from error


def _manifest(archive: zipfile.ZipFile) -> dict[str, Any]:
    try:
        if archive.getinfo("manifest.json").file_size > MOST_OF_MANIFEST:
            raise KeepingError(
                _("The manifest is larger than any club's: that is no export of this program.")
            )
        manifest: Any = json.loads(archive.read("manifest.json"))
    except (KeyError, ValueError) as error:
        raise KeepingError(
            _("There is no manifest that can be read: that is no export of this program.")
        ) from error
    if not isinstance(manifest, dict) or manifest.get("format") != FORMAT:
        raise KeepingError(_("That is no export of this program, or one that a newer version made."))
    odd = [name for name, kind in WANTED.items() if not isinstance(manifest.get(name), kind)]
    facts = [each for name in ("parts", "files") if name not in odd for each in manifest[name].values()]
    if odd or not all(isinstance(each, dict) and {"bytes", "sha256"} <= each.keys() for each in facts):
        raise KeepingError(
            _("The manifest is not whole (%(value)s): it was changed or damaged.")
            % {"value": ", ".join(odd) or _("parts")}
        )
    return manifest


def _check_parts(archive: zipfile.ZipFile, manifest: dict[str, Any]) -> None:
    """Every file of the export is what the manifest says, before anything is taken in."""
    told = manifest["parts"] | {f"files/{name}": facts for name, facts in manifest["files"].items()}
    there = {info.filename: info for info in archive.infolist()}
    for name, facts in told.items():
        if name not in there:
            raise KeepingError(
                _("%(name)s, which the manifest names, is not in the export.") % {"name": name}
            )
        with archive.open(there[name]) as file:
            if there[name].file_size != facts["bytes"] or facts_of(file) != facts:
                raise KeepingError(
                    _("%(name)s is not what the manifest says: it was changed or damaged.") % {"name": name}
                )


def _bring(archive: zipfile.ZipFile, manifest: dict[str, Any]) -> Proof:
    schema = manifest["schema"]
    tables = kinds(registry_at(schema))
    make_ready(schema)
    with taking_in(Intake(DEFAULT_DB_ALIAS, tables, default_storage)) as intake:
        intake.numbers = manifest.get("numbers", {})
        for label in manifest["tables"]:
            if label not in tables:
                raise KeepingError(_("There is no table %(label)s in this program.") % {"label": label})
            with archive.open(url_of(label)) as file:
                intake.take_rows(label, read_lines(tables[label], file))
        for name in manifest["files"]:
            with archive.open(f"files/{name}") as file:
                intake.take_file(name, file)
        rows = intake.check(manifest)
    sizes = [facts["bytes"] for facts in manifest["files"].values()]
    is_newer = bring_up_to_date(schema)
    return Proof(
        manifest["made_at"], len(tables), rows, len(sizes), sum(sizes), manifest["missing"], is_newer
    )
