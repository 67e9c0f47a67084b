"""The data package: complete, sealed, readable by other programs, the same bytes for the same content."""

import csv
import hashlib
import io
import itertools
import json
import shutil
import subprocess
from pathlib import Path

import pytest
from django.core.files.base import ContentFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils.timezone import now
from PIL import Image

from finds.models import Case, FindspotView
from people.rights import Role
from reports.content import digest, from_data
from reports.drafts import draft_for_case
from tests import make
from tests.actions.heritage_world import files_in, issued, manifest_of, packed
from tests.views.world import World, build, shared_world
from web.csv_safe import plain_text

pytestmark = [pytest.mark.django_db, pytest.mark.once]  # papers are made of what was read

HOSTILE = '=HYPERLINK("http://x.example","y") שלום مرحبا 漢字 🪙 #eval("1") <b> \u202e'


standing_world, world = shared_world(build)


def rows_of(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"))))


def test_the_manifest_names_every_file_with_its_true_hash_and_size(world: World) -> None:
    make.find_photo(world.locked)
    data = packed(world.case, world.committee)
    files, manifest = files_in(data), manifest_of(data)
    named = {each["name"]: each for each in manifest["files"]}
    assert set(named) == set(files) - {"manifest.json"}
    for name, each in named.items():
        assert hashlib.sha256(files[name]).hexdigest() == each["sha256"], name
        assert len(files[name]) == each["bytes"]
    assert manifest["pdf_sha256"] == named["report.pdf"]["sha256"]
    assert manifest["content_sha256"] == named["content.json"]["sha256"]
    assert digest(from_data(json.loads(files["content.json"]))) == manifest["content_sha256"]


def test_the_same_content_gives_the_same_bytes_later_and_for_another_reader(world: World) -> None:
    make.find_photo(world.locked)
    other = make.person(Role.COMMITTEE)
    assert packed(world.case, world.committee) == packed(world.case, other)


def test_a_changed_word_gives_another_package(world: World) -> None:
    before = packed(world.case, world.committee)
    type(world.locked).objects.filter(pk=world.locked.pk).update(description="worn")
    assert packed(world.case, world.committee) != before


@pytest.mark.skipif(shutil.which("ogrinfo") is None, reason="GDAL's ogrinfo is not here")
def test_gdal_reads_the_findspots_as_wgs_84(world: World, tmp_path: Path) -> None:
    """GDAL's GeoJSON driver, another reader of RFC 7946 than our own writer."""
    files = files_in(packed(world.case, world.committee))
    for name in ("findspots.geojson", "searched-ground.geojson"):
        (tmp_path / name).write_bytes(files[name])
    said = _ogrinfo(tmp_path / "findspots.geojson")
    assert "POINT (0.1512 53.6007)" in said
    assert 'ID["EPSG",4326]' in said
    assert f"number (String) = {world.locked.number}" in said
    assert "accuracy (m) (Real) = 5" in said
    ground = _ogrinfo(tmp_path / "searched-ground.geojson")
    assert "Feature Count: 1" in ground
    assert "MULTIPOLYGON" in ground


def _ogrinfo(path: Path) -> str:
    done = subprocess.run(["ogrinfo", "-al", str(path)], capture_output=True, text=True, check=True)
    assert "Warning" not in done.stderr
    return done.stdout


def test_the_geojson_keeps_to_rfc_7946(world: World) -> None:
    """RFC 7946: no crs member (4), longitude first (3.1.1), outer rings anticlockwise (3.1.6)."""
    files = files_in(packed(world.case, world.committee))
    spots = json.loads(files["findspots.geojson"])
    assert "crs" not in spots
    assert "WGS 84" in spots["coordinate_reference"]
    assert spots["features"][0]["geometry"]["coordinates"] == [0.1512, 53.6007]
    ring = json.loads(files["searched-ground.geojson"])["features"][0]["geometry"]["coordinates"][0][0]
    twice = sum((b[0] - a[0]) * (b[1] + a[1]) for a, b in itertools.pairwise(ring))
    assert twice < 0  # anticlockwise
    assert ring[0] == ring[-1]


def test_an_object_without_a_place_is_there_with_none(world: World) -> None:
    """RFC 7946, 3.2: a feature that is not located has the geometry null."""
    nowhere = {"lon": None, "lat": None, "cell": None, "wide_cell": None, "square_lon": None}
    nowhere |= {"square_lat": None, "square_cell": None, "square_wide_cell": None}
    type(world.locked).objects.filter(pk=world.locked.pk).update(**nowhere)
    files = files_in(packed(world.case, world.committee))
    feature = json.loads(files["findspots.geojson"])["features"][0]
    assert feature["geometry"] is None
    assert feature["id"] == world.locked.number
    assert rows_of(files["objects.csv"])[0]["longitude"] == ""


def test_tables_are_safe_for_spreadsheets_and_lose_nothing(world: World) -> None:
    """OWASP, CSV Injection: no cell begins with = + - or @."""
    type(world.locked).objects.filter(pk=world.locked.pk).update(object_type="=1+1", description=HOSTILE)
    files = files_in(packed(world.case, world.committee))
    for name in (name for name in files if name.endswith(".csv")):
        for row in rows_of(files[name]):
            assert [cell for cell in row.values() if cell.startswith(("=", "+", "@"))] == [], name
    row = rows_of(files["objects.csv"])[0]
    assert plain_text(row["object"]) == "=1+1"
    assert plain_text(row["description"]) == HOSTILE
    assert json.loads(files["findspots.geojson"])["features"][0]["properties"]["description"] == HOSTILE


def test_every_column_of_every_table_stands_in_the_dictionary(world: World) -> None:
    files = files_in(packed(world.case, world.committee))
    said = {(row["file"], row["column"]) for row in rows_of(files["dictionary.csv"])}
    tables = [name for name in files if name.endswith(".csv") and name != "dictionary.csv"]
    columns = {(name, column) for name in tables for column in _header(files[name])}
    assert said == columns
    assert all(row["meaning"] for row in rows_of(files["dictionary.csv"]))


def _header(data: bytes) -> list[str]:
    return next(csv.reader(io.StringIO(data.decode("utf-8-sig"))))


def test_photographs_go_along_without_what_cameras_add(world: World) -> None:
    photo = make.find_photo(world.locked, view="back", has_scale=True)
    files = files_in(packed(world.case, world.committee))
    name = f"photographs/{world.locked.number}-1.jpg"
    with Image.open(io.BytesIO(files[name])) as image:
        assert dict(image.getexif()) == {}
        assert "exif" not in image.info
    row = rows_of(files["photographs.csv"])[0]
    assert (row["file"], row["shows"]) == (name, "back, with a scale")
    assert row["sha256"] == hashlib.sha256(files[name]).hexdigest()
    assert row["sha256 of the original"] == photo.original_sha256


def test_a_photograph_lost_from_the_store_is_said_and_the_rest_goes_out(world: World) -> None:
    photo = make.find_photo(world.locked)
    photo.display.storage.delete(photo.display.name)
    files = files_in(packed(world.case, world.committee))
    assert rows_of(files["photographs.csv"])[0]["file"] == ""
    assert not [name for name in files if name.startswith("photographs/")]


def test_making_a_package_is_a_look_at_each_locked_findspot(world: World) -> None:
    before = FindspotView.objects.filter(find=world.locked, by=world.committee).count()
    packed(world.case, world.committee)
    assert FindspotView.objects.filter(find=world.locked, by=world.committee).count() == before + 1


def test_the_package_is_frozen_with_the_issue(world: World) -> None:
    row = issued(world.case, world.committee)
    with row.package.file.open("rb") as file:
        data = file.read()
    assert hashlib.sha256(data).hexdigest() == row.package.sha256
    assert len(data) == row.package.size
    assert manifest_of(data)["report"] == row.number
    assert manifest_of(data)["pdf_sha256"] == row.pdf_sha256
    assert manifest_of(data)["content_sha256"] == row.content_sha256


def test_queries_do_not_grow_with_the_objects_of_a_case(world: World) -> None:
    with CaptureQueriesContext(connection) as few:
        draft_for_case(world.case, by=world.committee, at=now())
    for _ in range(8):
        more = make.find(world.hunt, world.member)
        make.find_photo(more)
        world.case.finds.add(more)
    again = Case.objects.get(pk=world.case.pk)
    with CaptureQueriesContext(connection) as many:
        draft_for_case(again, by=world.committee, at=now())
    assert len(many) <= len(few)


def test_odd_find_numbers_make_plain_file_names(world: World) -> None:
    type(world.locked).objects.filter(pk=world.locked.pk).update(number="../F 1/ü")
    make.find_photo(world.locked, display=ContentFile(make.photo_bytes(), name="x.jpg"))
    names = set(files_in(packed(world.case, world.committee)))
    assert "photographs/_F_1_-1.jpg" in names
