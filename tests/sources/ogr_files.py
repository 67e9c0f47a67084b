"""Files of one and the same ground as GDAL's ogr2ogr writes them in every format.

`python -m tests.sources.ogr_files` writes tests/sources/boundary_files anew (done with GDAL 3.6.2). The ground is
invented, at sea. Britain's grid is not among the systems that GDAL transforms to here, for without OSTN15 it is metres
out; test_boundary_files.py takes the survey's own points for that.
"""

import csv
import json
import shutil
import subprocess
import tempfile
import zipfile
from pathlib import Path

HERE = Path(__file__).parent / "boundary_files"
OGR = shutil.which("ogr2ogr")

CLOSE = [
    [[0.21, 53.71], [0.2151234, 53.7100008], [0.215, 53.7130001], [0.21, 53.713], [0.21, 53.71]],
    [[0.212, 53.711], [0.2121, 53.712], [0.213, 53.712], [0.213, 53.711], [0.212, 53.711]],
    [[0.2135, 53.711], [0.2135, 53.7115], [0.214, 53.7115], [0.2135, 53.711]],
]
PIECE = [
    [[[0.22, 53.71], [0.221, 53.71], [0.221, 53.711], [0.22, 53.71]]],
    [[[0.223, 53.71], [0.224, 53.71], [0.224, 53.711], [0.223, 53.71]]],
]
GROUND = {
    "Beck Close": {"type": "Polygon", "coordinates": CLOSE},
    "Åse's Piece": {"type": "MultiPolygon", "coordinates": PIECE},
}
# Points of the survey's own test of OSTN15 (Ordnance Survey, Transformations and OSGM15 User Guide v1.3, test file,
# TP15, TP20, TP25, TP24, TP16): ETRS89 longitude and latitude, National Grid easting and northing.
SURVEY = [
    ((-1.19747655922, 52.9621910941), (454002.834, 340834.943)),
    ((-1.66379168242, 53.8002151963), (422242.186, 433818.701)),
    ((-1.61657685184, 54.9791227366), (424639.355, 565012.703)),
    ((-2.93827741149, 54.8954234042), (339921.145, 556034.761)),
    ((-2.6404932081, 53.3448028019), (357455.843, 383290.436)),
]
ZIPPED = (".shp", ".dbf", ".shx", ".prj", ".cpg")

# What is written: file name, then ogr2ogr's arguments before the source.
FILES = {
    "plain.geojson": ["-f", "GeoJSON", "-lco", "RFC7946=YES"],
    "utm31.geojson": ["-f", "GeoJSON", "-t_srs", "EPSG:32631", "-lco", "COORDINATE_PRECISION=4"],
    "heights.geojson": ["-f", "GeoJSON", "-dim", "XYZ"],
    "plain.kml": ["-f", "KML"],
    "lib.kml": ["-f", "LIBKML"],
    "packed.kmz": ["-f", "LIBKML"],
    "degrees.zip": ["-f", "ESRI Shapefile", "-lco", "ENCODING=UTF-8"],
    "etrs89.zip": ["-f", "ESRI Shapefile", "-t_srs", "EPSG:4258"],
    "utm31.zip": ["-f", "ESRI Shapefile", "-t_srs", "EPSG:25831"],
    "survey.zip": ["-f", "ESRI Shapefile", "-a_srs", "EPSG:27700"],
    "survey.geojson": ["-f", "GeoJSON", "-a_srs", "EPSG:27700"],
    "webmap.zip": ["-f", "ESRI Shapefile", "-t_srs", "EPSG:3857"],
    "europe.zip": ["-f", "ESRI Shapefile", "-t_srs", "EPSG:3035"],
    "heights.zip": ["-f", "ESRI Shapefile", "-dim", "XYZ"],
    "one.shz": ["-f", "ESRI Shapefile"],
    "plain.wkt": ["-f", "CSV", "-lco", "GEOMETRY=AS_WKT"],
    "outline.gpx": ["-f", "GPX", "-nlt", "LINESTRING"],
    "track.gpx": ["-f", "GPX", "-lco", "FORCE_GPX_TRACK=YES"],
}


def write(name, target):
    """Writes one file of the table with ogr2ogr into the folder and gives its path."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        source = folder / "ground.geojson"
        source.write_text(json.dumps(_source(name)), encoding="utf-8")
        kind = {".zip": ".shp", ".wkt": ".csv"}.get(Path(name).suffix, Path(name).suffix)
        out = folder / f"out{kind}"
        subprocess.run([OGR, *FILES[name], out, source], check=True, capture_output=True)
        path = target / name
        if name.endswith(".zip"):
            with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as zipped:
                for ending in ZIPPED:
                    if (part := out.with_suffix(ending)).exists():
                        zipped.write(part, f"ground{ending}")
        elif name.endswith(".wkt"):
            rows = csv.DictReader(out.read_text(encoding="utf-8").splitlines())
            path.write_text("\n".join(f"SRID=4326;{row['WKT']}" for row in rows), encoding="utf-8")
        else:
            shutil.copy(out, path)
        return path


def _source(name):
    """The ground as features; for GPX, which has no polygons, the outline as a line; the survey's points in metres."""
    shapes = GROUND
    if name.endswith(".gpx"):
        shapes = {"Beck Close": {"type": "LineString", "coordinates": CLOSE[0]}}
    elif name.startswith("survey"):
        metres = [list(grid) for _, grid in SURVEY]
        shapes = {"Survey": {"type": "Polygon", "coordinates": [[*metres, metres[0]]]}}
    return {
        "type": "FeatureCollection",
        "features": [
            {"type": "Feature", "properties": {"name": name, "crop": "stubble", "ha": 3.5}, "geometry": shape}
            for name, shape in shapes.items()
        ],
    }


def main():
    HERE.mkdir(exist_ok=True)
    for name in FILES:
        write(name, HERE)


if __name__ == "__main__":
    main()
