"""A club of any released version is brought to today's, on either database, and has lost nothing."""

import csv
import io
import json
import os
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from keeping.kinds import kinds, registry_at
from tests.house.test_migrated import LEDGERS, empty_database  # noqa: F401 - a fixture
from tests.upgrade.look import CONTENTS
from web.csv_safe import plain_text

HERE = Path(__file__).parent
RELEASES = sorted(HERE.glob("*.zip"))


def manifest_of(path: Path) -> dict[str, Any]:
    with zipfile.ZipFile(path) as archive:
        manifest: dict[str, Any] = json.loads(archive.read("manifest.json"))
    return manifest


def test_there_is_a_release_to_come_from() -> None:
    assert RELEASES


@pytest.mark.once
@pytest.mark.parametrize("path", RELEASES, ids=lambda path: path.stem)
def test_every_released_schema_is_known_with_its_tables_and_columns(
    path: Path, monkeypatch: pytest.MonkeyPatch, settings: Any
) -> None:
    """Who takes a released migration away or rewrites it is told at once; the whole way is tried by the long test."""
    settings.MIGRATION_MODULES = {}
    manifest = manifest_of(path)
    then = kinds(registry_at(manifest["schema"]))
    told = {label: table["columns"] for label, table in manifest["tables"].items()}
    assert {
        label: {name: field.get_internal_type() for name, field in kind.fields.items()}
        for label, kind in then.items()
    } == told


@pytest.mark.long
@pytest.mark.parametrize("path", RELEASES, ids=lambda path: path.stem)
def test_a_club_of_a_released_version_is_brought_up_to_date(path: Path, empty_database: str) -> None:  # noqa: F811
    done = subprocess.run(
        [sys.executable, "-m", "tests.upgrade.look", str(path)],
        cwd=HERE.parents[1],
        env=os.environ | {"DATABASE_URL": empty_database},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-3000:]
    now, then = json.loads(done.stdout.splitlines()[-1]), manifest_of(path)
    assert now["is_up_to_date"]
    assert set(now["guarded"]) == LEDGERS
    assert set(now["pages"].values()) == {200}
    assert now["proof"]["files"] == len(then["files"]) > 5
    for label, table in then["tables"].items():
        if label in now["rows"] and label not in GROWN:
            assert now["rows"][label] == table["rows"], label
    for label, columns in CONTENTS.items():
        assert [spelled(row) for row in now["contents"][label]] == list(then_rows(path, label, columns)), (
            label
        )


GROWN: set[str] = set()
"""Tables that a migration fills or empties on purpose; say in the migration why."""


def spelled(row: list[Any]) -> list[str]:
    return ["" if cell is None else str(cell) for cell in row]


def then_rows(path: Path, label: str, columns: list[str]) -> Iterator[list[str]]:
    """The rows as the CSV of that release has them, read by Python's own reader, without marks before formulas."""
    with zipfile.ZipFile(path) as archive:
        text = archive.read(f"tables/{label}.csv").decode("utf-8-sig")
    for row in csv.DictReader(io.StringIO(text, newline="")):
        yield [plain_text(row[name]) for name in columns]
