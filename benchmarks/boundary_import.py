"""Boundary files in: time and memory in every format, beside GDAL's ogr2ogr, and hostile files at full size.

Run: python -m benchmarks.boundary_import. ogr2ogr's time is the whole command, start and all (about 30 ms of it).
"""

import functools
import io
import json
import math
import shutil
import subprocess
import tempfile
import time
import zipfile
from pathlib import Path

import numpy as np

from benchmarks.measure import measure
from geo.errors import GeoError
from geo.files import read_boundaries, read_places
from geo.local import Local
from geo.polygon import check_boundary

LOCAL = Local(0.25, 53.7)
VERTICES = 10_000
FORMATS = {
    "boundary.geojson": ["-f", "GeoJSON"],
    "boundary.kml": ["-f", "KML"],
    "boundary.kmz": ["-f", "LIBKML"],
    "boundary.zip": ["-f", "ESRI Shapefile", "-t_srs", "EPSG:25831"],
    "grid.zip": ["-f", "ESRI Shapefile", "-t_srs", "EPSG:27700"],
    "boundary.gpx": ["-f", "GPX", "-nlt", "LINESTRING", "-lco", "FORCE_GPX_TRACK=YES"],
}


def source(as_line=False, count=1, vertices=VERTICES):
    """Wavy fields of so many vertices in a row, GeoJSON."""
    turns = np.linspace(0, 2 * math.pi, vertices)
    reach = 300 * (1 + 0.12 * np.sin(3 * turns) + 0.02 * np.sin(211 * turns))
    features = []
    for n in range(count):
        lon, lat = LOCAL.inverse(reach * np.cos(turns) + 800 * n, reach * np.sin(turns))
        ring = np.column_stack([lon, lat]).tolist()
        ring[-1] = ring[0]
        shape = {"type": "LineString" if as_line else "Polygon", "coordinates": ring if as_line else [ring]}
        features.append({"type": "Feature", "properties": {"name": f"Field {n}"}, "geometry": shape})
    return json.dumps({"type": "FeatureCollection", "features": features})


def written(name, arguments):
    """The file's bytes as ogr2ogr writes them."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        (folder / "in.geojson").write_text(source(as_line=name.endswith("gpx")))
        out = folder / ("out" + Path(name).suffix.replace(".zip", ".shp"))
        subprocess.run(["ogr2ogr", *arguments, out, folder / "in.geojson"], check=True, capture_output=True)
        if not name.endswith(".zip"):
            return out.read_bytes()
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
            for part in folder.glob("out.*"):
                archive.write(part, part.name)
        return packed.getvalue()


def peer_seconds(name, data):
    """ogr2ogr reading the same file to GeoJSON in WGS84, best of three."""
    with tempfile.TemporaryDirectory() as scratch:
        path = Path(scratch) / name
        path.write_bytes(data)
        where = f"/vsizip/{path}" if name.endswith(".zip") else path
        layers = ["tracks"] if name.endswith(".gpx") else []
        times = []
        for n in range(3):
            command = [
                "ogr2ogr",
                "-f",
                "GeoJSON",
                "-t_srs",
                "EPSG:4326",
                Path(scratch) / f"{n}.json",
                where,
                *layers,
            ]
            began = time.perf_counter()
            subprocess.run(command, check=True, capture_output=True)
            times.append(time.perf_counter() - began)
        return min(times)


def given(path, name):
    """Arguments for the child: the upload as the server holds it, and what a running server has loaded anyway."""
    read_boundaries(
        b"SRID=27700;POLYGON ((545900 425900, 546200 425900, 546200 426200, 545900 425900))", "warm.wkt"
    )
    return Path(path).read_bytes(), name


def measured(work, data, name, repeats=3):
    """(best seconds, MB above idle, answer). The bytes are handed over on disk, so that the child holds them once.

    The kernel's own high-water mark is reset and read (Linux), for getrusage's is inherited from the parent.
    """
    with tempfile.NamedTemporaryFile() as held:
        held.write(data)
        held.flush()
        peaked = functools.partial(with_peak, work)
        seconds, _, _, (extra_mb, answer) = measure(
            peaked, functools.partial(given, held.name, name), repeats
        )
        return seconds, extra_mb, answer


def with_peak(work, data, name):
    status, clear = Path("/proc/self/status"), Path("/proc/self/clear_refs")
    if not clear.exists():
        return math.nan, work(data, name)
    clear.write_text("5")
    before = kilobytes(status.read_text(), "VmHWM")
    answer = work(data, name)
    return (kilobytes(status.read_text(), "VmHWM") - before) / 1e3, answer


def kilobytes(status, key):
    return int(status.split(f"{key}:")[1].split()[0])


def read_and_check(data, name):
    read = read_boundaries(data, name)
    return len(read.shapes), check_boundary(read.shapes[0].geometry).area_m2


def refuse(data, name):
    try:
        read_boundaries(data, name)
    except GeoError as error:
        return str(error)[:90]
    return "read"


def places(data, name):
    return len(read_places(data, name).shapes)


def zipped(name, inside):
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, inside)
    return packed.getvalue()


def hostile():
    """Each at the size that is still taken."""
    points = b"0.21,53.71 " * 1_000_000
    head, tail = b"<kml><Document><Placemark><LineString><coordinates>", b"</coordinates></LineString>"
    yield "KML, 1,000,000 points", head + points + tail + b"</Placemark></Document></kml>"
    yield "KML, 25 MB of one number", head + b"9" * 24_900_000
    yield "KML, entity bomb", b'<!DOCTYPE kml [<!ENTITY a "ha">]><kml/>'
    yield "KMZ, 39 MB of spaces", zipped("doc.kml", b"<kml>" + b" " * 39_000_000 + b"</kml>")
    yield "zip, bomb of 300 MB", zipped("a.shp", bytes(300_000_000))
    yield "GeoJSON, 8 million lists", b'{"type":"Polygon","coordinates":[' + b"[]," * 8_000_000 + b"[]]}"
    yield "GeoJSON, 380,000 lists", b'{"type":"Polygon","coordinates":[' + b"[]," * 380_000 + b"[]]}"
    yield "GeoJSON, 1.2 million numbers", b'{"type":"Polygon","coordinates":[' + b"1.5," * 1_190_000 + b"1]}"
    yield "WKT, a million brackets", b"GEOMETRYCOLLECTION(" * 1_000_000


def main():
    if not shutil.which("ogr2ogr"):
        print("ogr2ogr is not installed, so only GeoJSON is timed and nothing beside it")
    for name, arguments in FORMATS.items():
        if not shutil.which("ogr2ogr") and name != "boundary.geojson":
            continue
        peer = bool(shutil.which("ogr2ogr"))
        data = written(name, arguments) if peer else source().encode()
        seconds, extra_mb, (count, area) = measured(read_and_check, data, name, 1)
        theirs = f" | ogr2ogr {peer_seconds(name, data) * 1e3:4.0f} ms" if peer else ""
        size = f"{len(data) / 1e6:.2f} MB"
        print(
            f"{name:17} {size}: {seconds * 1e3:4.0f} ms, {extra_mb:5.1f} MB{theirs} | {count}, {area / 1e4:.3f} ha"
        )
    layer = source(count=20_000, vertices=60).encode()
    seconds, extra_mb, count = measured(places, layer, "places.geojson", 1)
    print(
        f"places, {count:,} shapes of 60 points, {len(layer) / 1e6:.0f} MB: {seconds:.1f} s, {extra_mb:.0f} MB"
    )
    for label, data in hostile():
        seconds, extra_mb, said = measured(refuse, data, "bad", 1)
        print(f"{label:30} {len(data) / 1e6:5.1f} MB: {seconds * 1e3:5.0f} ms, {extra_mb:5.1f} MB | {said}")


if __name__ == "__main__":
    main()
