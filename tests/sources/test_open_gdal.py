"""The open interface as GDAL's own client reads it: every collection, as finely as the key's owner may see it.

Source: GDAL's driver OAPIF ("OGC API - Features"), programs ogrinfo and ogr2ogr of Debian's gdal-bin; the header goes
by GDAL_HTTP_HEADER_FILE. Without them these tests are skipped and say so, unless STUBBLE_REQUIRE_GDAL=1.
"""

import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from django.utils.timezone import now
from shapely.geometry import shape

from doors.collections import COLLECTIONS
from doors.documents import geojson
from doors.feature import Query
from people.models import User
from tests.doors_world import account, arrange, key_for

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.once]
GEOMETRY_DEG = 1e-7


@pytest.fixture
def gdal() -> None:
    if shutil.which("ogrinfo") is None or shutil.which("ogr2ogr") is None:
        words = "GDAL TESTS NOT RUN: ogrinfo and ogr2ogr are not on PATH. Install gdal-bin."
        pytest.fail(words) if os.environ.get("STUBBLE_REQUIRE_GDAL") == "1" else pytest.skip(words)


def run(words: list[str], key: str, folder: Path) -> str:
    """As docs/open.md has it: the header in a file."""
    header = folder / "club-key"
    header.write_text(f"Authorization: Bearer {key}\n")
    env = {name: value for name, value in os.environ.items() if "proxy" not in name.lower()}
    env["GDAL_HTTP_HEADER_FILE"] = str(header)
    done = subprocess.run(words, env=env, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 0, done.stderr
    assert "ERROR" not in done.stderr, done.stderr
    return done.stdout


def ours(name: str, user: User) -> dict[str, Any]:
    shown = COLLECTIONS[name].every(user, Query(), at=now())
    return {each.id: json.loads(json.dumps(geojson(each))) for each in shown}


@pytest.mark.usefixtures("gdal")
def test_gdal_reads_every_collection_as_the_keys_owner_may(live_server: Any, tmp_path: Path) -> None:
    world = arrange()
    source = f"OAPIF:{live_server.url}/open"
    for reader in ("committee", "other_member"):
        user = account(world, reader)
        key = key_for(user)
        summary = run(["ogrinfo", "-al", "-so", source], key, tmp_path)
        for name in COLLECTIONS:
            wanted = ours(name, user)
            assert f"Layer name: {name}" in summary
            file = tmp_path / f"{reader}-{name}.geojson"
            run(["ogr2ogr", "-f", "GeoJSON", str(file), source, name, "-oo", "PAGE_SIZE=5"], key, tmp_path)
            read = json.loads(file.read_text())["features"]
            assert len(read) == len(wanted), (reader, name)
            for each, given in zip(read, wanted.values(), strict=True):  # in the order of the interface
                is_same(each, given)
    key = key_for(account(world, "committee"), collections=["hunts"])
    listed = [
        line for line in run(["ogrinfo", "-ro", source], key, tmp_path).splitlines() if line[:1].isdigit()
    ]
    assert len(listed) == 1
    assert "hunts" in listed[0]


def is_same(read: Any, wanted: Any) -> None:
    if wanted["geometry"] is None:
        assert read["geometry"] is None
    else:
        assert shape(read["geometry"]).equals_exact(shape(wanted["geometry"]), GEOMETRY_DEG, normalize=True)
    for name, value in wanted["properties"].items():
        if isinstance(value, str) and "T" in value and value.endswith("Z"):
            continue  # GDAL writes times in a spelling of its own
        assert read["properties"].get(name) == value, name


@pytest.mark.usefixtures("gdal")
def test_gdal_narrows_by_box_and_property(live_server: Any, tmp_path: Path) -> None:
    world = arrange()
    key, source = key_for(world.committee), f"OAPIF:{live_server.url}/open"
    placed = [each for each in ours("finds", world.committee).values() if each["geometry"]]
    lon = sorted(shape(each["geometry"]).x for each in placed)[len(placed) // 2]
    asked = ["-spat", "0.1", "53.5", str(lon), "53.7", "-where", "object_type = 'buckle'"]
    said = run(["ogrinfo", "-ro", "-al", "-so", source, "finds", *asked], key, tmp_path)
    wanted = [
        each
        for each in placed
        if shape(each["geometry"]).x <= lon and each["properties"]["object_type"] == "buckle"
    ]
    assert wanted
    assert f"Feature Count: {len(wanted)}\n" in said
