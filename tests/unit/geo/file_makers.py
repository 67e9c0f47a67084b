"""Small boundary files made by hand, sound and hostile."""

import io
import json
import struct
import zipfile

SQUARE = [(0.21, 53.71), (0.215, 53.71), (0.215, 53.713), (0.21, 53.713), (0.21, 53.71)]
GRID_SQUARE = [(545900, 425900), (546200, 425900), (546200, 426200), (545900, 426200), (545900, 425900)]


def geojson(*rings, crs=None, **properties):
    document = {
        "type": "FeatureCollection",
        "features": [
            {
                "type": "Feature",
                "properties": properties,
                "geometry": {"type": "Polygon", "coordinates": list(rings or [SQUARE])},
            }
        ],
    }
    if crs:
        document["crs"] = {"type": "name", "properties": {"name": crs}}
    return json.dumps(document).encode()


def kml(inside, head=""):
    return f'{head}<kml xmlns="http://www.opengis.net/kml/2.2"><Document>{inside}</Document></kml>'.encode()


def placemark(shape, name="Beck Close"):
    return f"<Placemark><name>{name}</name>{shape}</Placemark>"


def polygon(*rings):
    def ring(points):
        text = " ".join(",".join(map(str, point)) for point in points)
        return f"<LinearRing><coordinates>{text}</coordinates></LinearRing>"

    outer, *holes = rings
    inner = "".join(f"<innerBoundaryIs>{ring(hole)}</innerBoundaryIs>" for hole in holes)
    return f"<Polygon><outerBoundaryIs>{ring(outer)}</outerBoundaryIs>{inner}</Polygon>"


def gpx(*tracks, name="Round the close"):
    """Each track is a list of segments of (lon, lat)."""
    body = ""
    for segments in tracks:
        points = "".join(
            "<trkseg>" + "".join(f'<trkpt lat="{lat}" lon="{lon}"/>' for lon, lat in segment) + "</trkseg>"
            for segment in segments
        )
        body += f"<trk><name>{name}</name>{points}</trk>"
    return f'<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="t">{body}</gpx>'.encode()


def zipped(files, method=zipfile.ZIP_DEFLATED):
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", method) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return packed.getvalue()


def shp(*shapes, kind=5):
    """A .shp of polygon records, each a list of rings, None for a null shape."""
    records = b""
    for number, rings in enumerate(shapes, 1):
        content = struct.pack("<i", 0) if rings is None else polygon_record(rings, kind)
        records += struct.pack(">ii", number, len(content) // 2) + content
    return shp_header(len(records), kind) + records


def shp_header(size, kind=5):
    words = (100 + size) // 2
    return struct.pack(">7i", 9994, 0, 0, 0, 0, 0, words) + struct.pack("<2i8d", 1000, kind, *[0.0] * 8)


def polygon_record(rings, kind=5):
    points = [point for ring in rings for point in ring]
    starts = [sum(map(len, rings[:i])) for i in range(len(rings))]
    return (
        struct.pack("<i4d2i", kind, 0, 0, 0, 0, len(rings), len(points))
        + struct.pack(f"<{len(starts)}i", *starts)
        + b"".join(struct.pack("<2d", *point) for point in points)
    )


def dbf(rows, encoding="utf-8", page=0):
    """A table of one text column NAME of 20 bytes; a row of None is marked as deleted."""
    head = struct.pack("<4BIHH", 3, 126, 1, 1, len(rows), 65, 21) + bytes(17) + bytes([page]) + bytes(2)
    column = b"NAME".ljust(11, b"\x00") + b"C" + bytes(4) + bytes([20, 0]) + bytes(14)
    body = b"".join(
        b"*" + b" " * 20 if row is None else b" " + row.encode(encoding)[:20].ljust(20) for row in rows
    )
    return head + column + b"\r" + body + b"\x1a"
