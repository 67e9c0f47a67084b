"""GPX output against the GPX 1.1 schema, and read back by GDAL; sample files read as GDAL reads them.

The element order and types below are those of gpx.xsd (GPX 1.1, 2004-08-09). Where GPX_XSD names the
published file, xmllint checks against it as well; where GPX_SAMPLES names a folder of other libraries' test
files, they are read too.
"""

import os
import re
import shutil
import subprocess
from datetime import UTC, datetime
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from geo.gpx import Route, Waypoint, read_gpx, write_gpx

SPACE = "{http://www.topografix.com/GPX/1/1}"
ORDER = {
    "gpx": ["metadata", "wpt", "rte", "trk", "extensions"],
    "metadata": ["name", "desc", "author", "copyright", "link", "time", "keywords", "bounds", "extensions"],
    "wpt": ["ele", "time", "magvar", "geoidheight", "name", "cmt", "desc", "src", "link", "sym", "type"],
    "rte": ["name", "cmt", "desc", "src", "link", "number", "type", "extensions", "rtept"],
}
ORDER["rtept"] = ORDER["wpt"]
MANY = {"wpt", "rte", "trk", "rtept", "link"}

needs_gdal = pytest.mark.skipif(not shutil.which("ogrinfo"), reason="GDAL's ogrinfo is not installed here")


@pytest.fixture(scope="module")
def lanes_file(tmp_path_factory):
    """Three lanes and two waypoints on invented ground at sea."""
    lanes = [
        Route(f"Lane {n}", [(0.21 + n * 1e-5, 53.71), (0.21 + n * 1e-5, 53.712)], "Åse & co")
        for n in (1, 2, 3)
    ]
    points = [
        Waypoint(0.2, 53.7, "Gate", "Shut <it>", datetime(2026, 3, 1, 8, tzinfo=UTC)),
        Waypoint(-180, -90, "S"),
    ]
    path = tmp_path_factory.mktemp("gpx") / "lanes.gpx"
    at = datetime(2026, 3, 1, 9, tzinfo=UTC)
    path.write_bytes(write_gpx(creator="Ravensand", name="Beck Close", at=at, routes=lanes, waypoints=points))
    return path


def test_elements_stand_in_schema_order_with_schema_types(lanes_file):
    root = ET.parse(lanes_file).getroot()
    assert root.tag == f"{SPACE}gpx"
    assert root.get("version") == "1.1"
    assert root.get("creator")
    for element in root.iter():
        name = element.tag.removeprefix(SPACE)
        children = [child.tag.removeprefix(SPACE) for child in element]
        if name in ORDER:
            places = [ORDER[name].index(child) for child in children]
            assert places == sorted(places)
            assert all(children.count(child) == 1 for child in children if child not in MANY)
        if name in {"wpt", "rtept"}:
            assert set(element.keys()) == {"lat", "lon"}
            assert -90 <= float(element.get("lat")) <= 90
            assert -180 <= float(element.get("lon")) < 180
        if name == "time":
            assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", element.text)
        if name == "number":
            assert int(element.text) >= 0


def test_published_schema_accepts_the_file(lanes_file):
    schema = os.environ.get("GPX_XSD")
    if not schema or not shutil.which("xmllint"):
        pytest.skip(
            "set GPX_XSD to a copy of gpx.xsd and install xmllint to check against the published schema"
        )
    run = subprocess.run(
        ["xmllint", "--noout", "--nonet", "--schema", schema, lanes_file],
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr


def gdal_counts(path):
    """Features per layer, as GDAL's GPX driver counts them."""
    said = subprocess.run(
        ["ogrinfo", "-ro", "-al", "-so", path], capture_output=True, text=True, check=True
    ).stdout
    layers = re.findall(r"Layer name: (\w+)", said)
    counts = map(int, re.findall(r"Feature Count: (\d+)", said))
    return dict(zip(layers, counts, strict=True))


@needs_gdal
def test_gdal_reads_the_file_back(lanes_file):
    assert gdal_counts(lanes_file) == {
        "waypoints": 2,
        "routes": 3,
        "tracks": 0,
        "route_points": 6,
        "track_points": 0,
    }
    said = subprocess.run(
        ["ogrinfo", "-ro", "-al", lanes_file, "routes"], capture_output=True, text=True, check=True
    ).stdout
    assert "name (String) = Lane 2" in said
    assert "desc (String) = Åse & co" in said
    assert "LINESTRING (0.21002 53.71,0.21002 53.712)" in said


SAMPLES = sorted(Path(os.environ["GPX_SAMPLES"]).glob("*.gpx")) if os.environ.get("GPX_SAMPLES") else []


@needs_gdal
@pytest.mark.skipif(
    not SAMPLES, reason="set GPX_SAMPLES to a folder of GPX files, such as a library's test files"
)
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_sample_files_hold_what_gdal_finds(path):
    gpx, theirs = read_gpx(path.read_bytes()), gdal_counts(path)
    assert sum(len(line.lon_lat) for line in gpx.tracks) == theirs.get("track_points", 0)
    assert sum(len(line.lon_lat) for line in gpx.routes) == theirs.get("route_points", 0)
    assert len(gpx.waypoints) == theirs.get("waypoints", 0)
