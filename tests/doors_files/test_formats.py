"""Each format against its own standard's rules, and read back by GDAL, which knows nothing of us."""

import csv
import io
import json
import os
import shutil
import subprocess
import zipfile
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest
import shapefile
import shapely
from csvw import CSVW

from doors.files.formats import FORMATS, make_file
from doors.files.kml import NAMESPACE
from doors.files.model import Column
from doors.files.shapefile import short_names
from tests.doors_files.records import COLUMNS, HOLED, SQUARE, THINGS, layer
from tests.sources.test_gpx_schema import MANY, ORDER, SPACE
from web.csv_safe import plain_text

pytestmark = pytest.mark.once
ORDER_OF_TRACK = ["name", "cmt", "desc", "src", "link", "number", "type", "extensions", "trkseg"]
PLACED = [each for each in THINGS if each.geometry is not None]
needs_gdal = pytest.mark.skipif(
    not shutil.which("ogrinfo") and os.environ.get("STUBBLE_REQUIRE_GDAL") != "1",
    reason="GDAL's ogrinfo is not installed here",
)


def written(code: str, name: str = "ground") -> bytes:
    file, tally = make_file(FORMATS[code], layer(name), THINGS)
    with file:
        assert (tally.rows, tally.places) == (5, 4)
        return bytes(file.read())


def unpacked(code: str, folder: Path) -> Path:
    with zipfile.ZipFile(io.BytesIO(written(code))) as archive:
        archive.extractall(folder)
    return folder


@pytest.fixture(scope="module")
def collection() -> Any:
    return json.loads(written("geojson"))


def test_geojson_is_a_feature_collection_without_a_crs_and_with_outer_rings_counter_clockwise(
    collection: Any,
) -> None:
    """RFC 7946: section 3.3 members of a collection, 3.1.6 right-hand rule, 4 no other coordinate system."""
    assert collection["type"] == "FeatureCollection"
    assert "crs" not in collection
    assert [each["type"] for each in collection["features"]] == ["Feature"] * 5
    assert all({"type", "id", "geometry", "properties"} == set(each) for each in collection["features"])
    assert collection["features"][4]["geometry"] is None
    for part in collection["features"][2]["geometry"]["coordinates"]:
        outer, *holes = part
        assert outer[0] == outer[-1]
        assert shapely.LinearRing(outer).is_ccw
        assert not any(shapely.LinearRing(hole).is_ccw for hole in holes)


def test_geojson_keeps_types_and_says_for_whom_and_how_finely(collection: Any) -> None:
    first = collection["features"][0]["properties"]
    assert (first["weight_g"], first["year_from"], first["is_coin"]) == (None, -44, False)
    assert first["recorded_at"] == "2026-11-21T09:30:00+00:00"
    assert collection["metadata"]["madeFor"] == "Mo Samphire"
    assert collection["metadata"]["madeAt"].startswith("2026-11-21T09:30")
    assert collection["numberReturned"] == 5
    assert collection["precision"] == {"full": 1, "1 km square": 1, "as drawn": 2, "withheld: locked": 1}


def test_gpx_has_its_elements_in_the_order_of_the_schema() -> None:
    """GPX 1.1 (gpx.xsd, 2004-08-09): sequences; see tests/sources/test_gpx_schema.py."""
    root = ET.fromstring(written("gpx"))
    for element in root.iter():
        name = element.tag.removeprefix(SPACE)
        order = ORDER_OF_TRACK if name == "trk" else ORDER.get(name)
        children = [child.tag.removeprefix(SPACE) for child in element]
        if order:
            places = [order.index(child) for child in children]
            assert places == sorted(places), name
            assert all(children.count(child) == 1 for child in children if child not in {*MANY, "trkseg"})
        if name in {"wpt", "trkpt"}:
            assert set(element.keys()) == {"lat", "lon"}
    description = root.findtext(f"{SPACE}metadata/{SPACE}desc") or ""
    assert "Made for: Mo Samphire" in description


def test_gpx_of_finds_leaves_squares_out_and_says_so() -> None:
    """The middle of a square would look like a findspot in a receiver."""
    text = written("gpx", "finds").decode()
    assert text.count("<wpt ") == 1
    assert "F-2026-0002" not in text
    assert "only as a square, or not at all, is not in this file" in text


def test_kml_is_of_version_2_3_with_closed_rings_and_longitude_first() -> None:
    """OGC 12-007r2 and its schema (ogckml23.xsd in the OGC's own test suite ets-kml2): the namespace ends in 2.2 and
    `version` is 2.3; `Data` holds a `value`; a Placemark has at most one geometry; rings close, with four tuples."""
    root = ET.fromstring(written("kml"))
    space = f"{{{NAMESPACE}}}"
    assert (root.tag, root.get("version")) == (f"{space}kml", "2.3")
    document = root.find(f"{space}Document")
    assert document is not None
    marks = document.findall(f"{space}Placemark")
    shapes = {f"{space}{name}" for name in ("Point", "LineString", "Polygon", "MultiGeometry")}
    assert [len([child for child in mark if child.tag in shapes]) for mark in marks] == [1, 1, 1, 1, 0]
    assert all(data.find(f"{space}value") is not None for data in root.iter(f"{space}Data"))
    assert marks[0].findtext(f"{space}Point/{space}coordinates") == "0.1519371,53.6013414"
    for ring in root.iter(f"{space}LinearRing"):
        tuples = (ring.findtext(f"{space}coordinates") or "").split()
        assert len(tuples) >= 4
        assert tuples[0] == tuples[-1]
    assert "Made for: Mo Samphire" in (document.findtext(f"{space}description") or "")


def test_csv_guards_formulas_keeps_numbers_and_has_well_known_text(tmp_path: Path) -> None:
    """OWASP, CSV Injection: see tests of web/csv_safe.py; `plain_text` gives back what was there."""
    folder = unpacked("csv", tmp_path)
    with (folder / "ground.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["object_type"][:2] for row in rows] == ["'=", "bu", "bu", "'-", "ЖЖ"]
    assert plain_text(rows[0]["object_type"]) == "=1+1 & <Åse>"
    assert rows[0]["year_from"] == "-44"
    assert (rows[0]["longitude"], rows[1]["longitude"]) == ("0.1519371", "")
    shapes = [shapely.from_wkt(row["geometry"]) for row in rows[:4]]
    assert all(shapely.equals(mine, each.geometry) for mine, each in zip(shapes, PLACED, strict=True))
    assert rows[4]["geometry"] == ""
    assert "Made for: Mo Samphire" in (folder / "README.txt").read_text()


def test_csv_is_what_its_metadata_say(tmp_path: Path) -> None:
    """W3C, Metadata Vocabulary for Tabular Data: an independent library reads it and checks types and primary key."""
    group = CSVW(str(unpacked("csv", tmp_path) / "csv-metadata.json"))
    assert group.is_valid
    rows = list(group.tables[0].iterdicts())
    assert [row["year_from"] for row in rows] == [-44, None, -44, -44, -44]
    assert [row["is_coin"] for row in rows][:2] == [False, True]
    assert str(rows[0]["found_on"])[:10] == "2026-03-01"
    titles = {column.name: column for column in group.tables[0].tableSchema.columns}
    assert titles["weight_g"].common_props["schema:unitText"] == "g"
    assert titles["year_from"].common_props["dc:description"] == "BC as minus"


def test_shapefile_has_a_layer_for_each_kind_and_names_of_ten_letters(tmp_path: Path) -> None:
    """ESRI Shapefile Technical Description, July 1998: one kind of shape a file, outer rings clockwise; dBASE names."""
    folder = unpacked("shapefile", tmp_path)
    kinds = {path.stem.removeprefix("ground_") for path in folder.glob("*.dbf")}
    assert kinds == {"points", "lines", "areas", "no_place"}
    assert {path.read_text() for path in folder.glob("*.cpg")} == {"UTF-8"}
    with shapefile.Reader(str(folder / "ground_areas")) as reader:
        names = [field[0] for field in reader.fields if field[0] != "DeletionFlag"]
        assert names == short_names([Column("id", "id"), *COLUMNS, Column("precision", "")])
        shape = reader.shape(1)
        first = shape.points[: shape.parts[1]]
        assert not shapely.LinearRing(first).is_ccw
    assert "recorded_2: A name that is cut" in (folder / "README.txt").read_text()


def test_shapefile_cuts_long_texts_between_letters(tmp_path: Path) -> None:
    """dBASE holds 254 bytes; two bytes a letter here."""
    dbf = (unpacked("shapefile", tmp_path) / "ground_no_place.dbf").open("rb")
    with dbf, shapefile.Reader(dbf=dbf, encoding="utf-8") as reader:
        assert reader.record(0)["object_typ"] == "Ж" * 127


def ogr(*args: Any) -> Any:
    """GDAL's reading of a file, as GeoJSON in WGS84."""
    run = subprocess.run(
        ["ogr2ogr", "-f", "GeoJSON", "/vsistdout/", *map(str, args)], capture_output=True, check=True
    )
    return json.loads(run.stdout)["features"]


def shapes_of(features: Any) -> list[Any]:
    return [shapely.from_geojson(json.dumps(each["geometry"])) for each in features if each["geometry"]]


def same(mine: Any, theirs: Any) -> bool:
    """The same ground within a millimetre; shapefiles turn rings and GDAL may make one part out of many."""
    return bool(shapely.hausdorff_distance(shapely.normalize(mine), shapely.normalize(theirs)) < 1e-8)


@needs_gdal
@pytest.mark.parametrize("code", ["geojson", "kml"])
def test_gdal_reads_every_feature_with_its_geometry(code: str, tmp_path: Path) -> None:
    path = tmp_path / f"ground.{code}"
    path.write_bytes(written(code))
    features = ogr(path)
    assert len(features) == 5
    shapes = shapes_of(features)
    assert len(shapes) == 4
    assert all(same(mine.geometry, theirs) for mine, theirs in zip(PLACED, shapes, strict=True))
    named = {each["properties"].get("number", each["properties"].get("Name")) for each in features}
    assert named == {f"F-2026-000{n}" for n in range(1, 6)}


@needs_gdal
def test_gdal_reads_the_csv_by_its_well_known_text(tmp_path: Path) -> None:
    folder = unpacked("csv", tmp_path)
    features = ogr(folder / "ground.csv", "-oo", "GEOM_POSSIBLE_NAMES=geometry", "-oo", "AUTODETECT_TYPE=YES")
    assert len(features) == 5
    assert all(same(mine.geometry, theirs) for mine, theirs in zip(PLACED, shapes_of(features), strict=True))
    assert features[0]["properties"]["year_from"] == -44


@needs_gdal
def test_gdal_reads_waypoints_and_tracks_of_the_gpx(tmp_path: Path) -> None:
    path = tmp_path / "ground.gpx"
    path.write_bytes(written("gpx"))
    points, tracks = ogr(path, "waypoints"), ogr(path, "tracks")
    assert [each["properties"]["name"] for each in points] == ["F-2026-0001"]
    assert shapes_of(points)[0].equals(THINGS[0].geometry)
    assert len(tracks) == 3  # the square and the areas by their outlines, and the lines
    assert same(shapes_of(tracks)[2], THINGS[3].geometry)
    assert same(shapes_of(tracks)[0], shapely.boundary(SQUARE))


@needs_gdal
def test_gdal_reads_the_shapefile_with_letters_outside_ascii(tmp_path: Path) -> None:
    folder = unpacked("shapefile", tmp_path)
    points, areas = ogr(folder / "ground_points.shp"), ogr(folder / "ground_areas.shp")
    assert points[0]["properties"]["object_typ"] == "=1+1 & <Åse>"
    assert points[0]["properties"]["weight_g"] is None
    assert points[0]["properties"]["found_on"] in ("2026-03-01", "2026/03/01")
    assert shapes_of(points)[0].equals(THINGS[0].geometry)
    assert [
        same(mine, theirs)
        for mine, theirs in zip((SQUARE, THINGS[2].geometry), shapes_of(areas), strict=True)
    ]
    assert abs(shapes_of(areas)[1].area - THINGS[2].geometry.area) < 1e-12
    assert HOLED.area < THINGS[2].geometry.area
    assert same(shapes_of(ogr(folder / "ground_lines.shp"))[0], THINGS[3].geometry)
    (left,) = ogr(folder / "ground_no_place.dbf")
    assert left["geometry"] is None
    assert left["properties"]["precision"] == "withheld: locked"
