"""Files that are broken or mean harm: each gets a sentence with the value and the remedy, and memory stays bounded."""

import io
import json
import struct
import tracemalloc
import zipfile
from contextlib import suppress
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geo.errors import GeoError
from geo.files import FileError, read_boundaries, read_places
from geo.files.model import BOUNDARY_LIMITS
from tests.unit.geo.file_makers import (
    SQUARE,
    dbf,
    geojson,
    gpx,
    kml,
    placemark,
    polygon,
    polygon_record,
    shp,
    shp_header,
    zipped,
)

MB = 1_000_000
ENTITY_BOMB = '<!DOCTYPE kml [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'
OUTSIDE = '<!DOCTYPE kml SYSTEM "file:///etc/passwd">'
OUTSIDE_ENTITY = '<!DOCTYPE kml [<!ENTITY x SYSTEM "http://127.0.0.1/x">]>'


def refused(data, *, match, name="f", **options):
    with pytest.raises(FileError, match=match) as caught:
        read_boundaries(data, name, **options)
    assert caught.value.remedy
    assert str(caught.value).endswith(".")
    return caught.value


def peak_of(work):
    tracemalloc.start()
    try:
        work()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


@pytest.fixture
def small(monkeypatch):
    """A tenth of the limits, so that tests of the limits take a tenth of the time."""
    lower = replace(BOUNDARY_LIMITS, unpacked_bytes=4 * MB, points=25_000)
    monkeypatch.setattr("geo.files.read.BOUNDARY_LIMITS", lower)


class TestXml:
    @pytest.mark.parametrize("head", [ENTITY_BOMB, OUTSIDE, OUTSIDE_ENTITY])
    def test_document_types_are_refused_in_kml_kmz_and_gpx(self, head):
        data = kml(placemark(polygon(SQUARE), "&b;" if "ENTITY b" in head else "x"), head)
        refused(data, match="declares a document type")
        refused(zipped({"doc.kml": data}), match="declares a document type")
        refused(head.encode() + gpx([SQUARE]), match="declares a document type")

    def test_points_without_end_are_refused_without_being_made(self, small):
        text = "0.21,53.71 " * 100_000
        data = kml(placemark(f"<LineString><coordinates>{text}</coordinates></LineString>"))
        assert peak_of(lambda: refused(data, match="more than 25,000 points")) < 8 * MB

    @pytest.mark.parametrize("text", ["9", " ", ",", "9 ", " ,"])
    def test_endless_text_is_refused(self, small, text):
        data = kml(
            placemark(
                f"<LineString><coordinates>1,2{text * (3 * MB // len(text))}</coordinates></LineString>"
            )
        )
        assert peak_of(lambda: refused(data, match="more than 25,000 points|is not a position")) < 12 * MB

    def test_deep_nesting_is_refused(self):
        refused(kml("<Folder>" * 100_000), match="nests elements more than 60 deep")

    def test_many_shapes_are_refused(self):
        refused(kml(placemark(polygon(SQUARE)) * 2001), match="more than 2,000 shapes")

    @pytest.mark.parametrize("word", ["fish", "0.21", "0.21;53.71", "nan,53", "inf,1", "1e300,1"])
    def test_a_word_that_is_no_position_is_named(self, word):
        shape = f"<LineString><coordinates>0,1 {word} 2,3</coordinates></LineString>"
        refused(kml(placemark(shape)), match=f"“{word}” before line 1|“{word}” before line 2")

    def test_a_file_cut_short_is_said_with_its_line(self):
        refused(kml(placemark(polygon(SQUARE)))[:-30], match="Line 1 of the file cannot be read")

    def test_an_unknown_encoding_is_said(self):
        refused(
            kml(placemark(polygon(SQUARE)), '<?xml version="1.0" encoding="x-none"?>'), match="cannot be read"
        )

    def test_links_are_not_followed_and_said(self):
        link = "<NetworkLink><Link><href>http://127.0.0.1/x.kml</href></Link></NetworkLink>"
        read = read_boundaries(kml(link + placemark(polygon(SQUARE))), "a.kml")
        assert read.notes == ("Links to other files and pictures were not followed.",)

    @pytest.mark.parametrize(
        ("data", "match"), [(b"<html><body>Sign in", "is a web page"), (b"<svg/>", "<svg>")]
    )
    def test_other_xml_is_named(self, data, match):
        refused(data, match=match)


class TestZip:
    def test_a_bomb_is_refused_before_it_is_unpacked(self, small):
        bomb = zipped({"a.shp": bytes(20 * MB)})
        assert peak_of(lambda: refused(bomb, match="unpacks to more than 4 MB")) < MB

    def test_a_bomb_that_lies_about_its_size_is_refused(self, small):
        bomb = bytearray(zipped({"doc.kml": bytes(20 * MB)}))
        for marker, offset in ((b"PK\x01\x02", 24), (b"PK\x03\x04", 22)):
            struct.pack_into("<I", bomb, bomb.rfind(marker) + offset, 1000)
        assert peak_of(lambda: refused(bytes(bomb), match="is broken|cannot be read")) < MB

    def test_many_members_together_are_counted(self, small):
        kmls = {f"{n}.kml": kml(" " * (3 * MB // 2)) for n in range(4)}
        refused(zipped(kmls), match="more than 4 MB at “2.kml”")

    def test_a_zip_in_a_zip_is_refused(self):
        refused(zipped({"inner.zip": zipped({"a.shp": b"x"})}), match="another packed file")
        refused(zipped({"a.json": zipped({"a.json": b"{}"})}), match="starts with “PK")

    @pytest.mark.parametrize("name", ["../../etc/passwd.shp", "/etc/a.shp", "C:\\a.shp", "a\\..\\..\\b.shp"])
    def test_names_that_lead_out_are_refused(self, name):
        refused(zipped({name: shp([SQUARE])}), match="leads out of its folder")

    def test_links_and_passwords_are_refused(self):
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w") as archive:
            info = zipfile.ZipInfo("a.shp")
            info.external_attr = 0o120777 << 16
            archive.writestr(info, "/etc/passwd")
        refused(packed.getvalue(), match="is a link")
        locked = bytearray(zipped({"a.shp": shp([SQUARE])}))
        for marker, offset in ((b"PK\x01\x02", 8), (b"PK\x03\x04", 6)):
            locked[locked.rfind(marker) + offset] |= 1
        refused(bytes(locked), match="locked with a password")

    def test_unusual_packing_is_refused(self):
        refused(zipped({"a.shp": shp([SQUARE])}, zipfile.ZIP_LZMA), match="method 14")

    def test_too_many_files_are_refused(self):
        refused(zipped({f"{n}": b"" for n in range(2001)}), match="2,001 files")
        refused(zipped({f"{n}{'x' * 2000}": b"" for n in range(600)}), match="list of files is")

    def test_half_a_zip_is_said(self):
        refused(zipped({"a.shp": shp([SQUARE])})[:-30], match="breaks off before its end")

    def test_a_broken_member_is_named(self):
        data = bytearray(zipped({"a.shp": shp([SQUARE])}, zipfile.ZIP_STORED))
        data[120] ^= 0xFF
        refused(bytes(data), match="“a.shp” in the zip is broken")

    def test_a_system_s_clutter_is_passed_over(self):
        files = {"__MACOSX/._a.shp": b"x", ".DS_Store": b"x", "a.shp": shp([SQUARE])}
        assert len(read_boundaries(zipped(files), "a.zip", crs="WGS84").shapes) == 1

    def test_a_zip_of_anything_else_is_said(self):
        refused(zipped({"letter.doc": b"x"}), match="holds no map file")


class TestShapefile:
    def test_a_record_longer_than_the_file_is_named(self):
        data = bytearray(shp([SQUARE], [SQUARE]))
        second = 100 + 8 + len(polygon_record([SQUARE]))
        struct.pack_into(">i", data, second + 4, 1_000_000_000)
        refused(
            bytes(data), match="Record 2 of the shapefile says it is 2,000,000,000 bytes long", crs="WGS84"
        )

    @pytest.mark.parametrize("length", [-5, 0, 1])
    def test_a_record_of_no_length_ends_the_reading(self, length):
        data = bytearray(shp([SQUARE]))
        struct.pack_into(">i", data, 104, length)
        refused(bytes(data), match="Record 1", crs="WGS84")

    @pytest.mark.parametrize(
        ("at", "value", "match"),
        [
            (144, 1_000_000, "parts in 5 points"),
            (144, -1, "parts in 5 points"),
            (148, 2_000_000_000, "says it holds more than its"),
            (148, -3, "parts in -3 points"),
            (152, 4, "parts that do not follow"),
            (152, -4, "parts that do not follow"),
        ],
    )
    def test_counts_that_cannot_be_are_named(self, at, value, match):
        data = bytearray(shp([SQUARE]))
        struct.pack_into("<i", data, at, value)
        refused(bytes(data), match=match, crs="WGS84")

    def test_a_coordinate_that_is_no_number_is_named(self):
        refused(shp([[(float("nan"), 1), *SQUARE]]), match="Record 1 .* not a number", crs="WGS84")

    def test_surfaces_in_space_are_refused(self):
        content = struct.pack("<i", 31)
        data = shp_header(12, 31) + struct.pack(">ii", 1, 2) + content
        refused(data, match="MultiPatch", crs="WGS84")

    def test_a_multipoint_that_lies_is_named(self):
        content = struct.pack("<i4di", 8, 0, 0, 0, 0, 2_000_000)
        data = shp_header(8 + len(content), 8) + struct.pack(">ii", 1, len(content) // 2) + content
        refused(data, match="more than 250,000 points|says it holds more", crs="WGS84")

    def test_thousands_of_rings_in_one_shape_are_refused(self):
        refused(shp([SQUARE] * 2001), match="2,001 rings", crs="WGS84")

    @pytest.mark.parametrize(("at", "layout", "value"), [(8, "<H", 60_000), (10, "<H", 0), (10, "<H", 5)])
    def test_a_table_that_lies_is_named(self, at, layout, value):
        table = bytearray(dbf(["x"]))
        struct.pack_into(layout, table, at, value)
        refused(zipped({"a.shp": shp([SQUARE]), "a.dbf": bytes(table)}), match=r"\.dbf file", crs="WGS84")

    def test_a_table_that_claims_more_rows_gives_what_it_has(self):
        table = bytearray(dbf(["Beck"]))
        struct.pack_into("<I", table, 4, 4_000_000_000)
        data = zipped({"a.shp": shp([SQUARE], [SQUARE]), "a.dbf": bytes(table)})
        assert [s.name for s in read_boundaries(data, "f", crs="WGS84").shapes] == ["Beck", "Shape 2"]

    @pytest.mark.parametrize("page", ["hex", "idna", "nonsense", "999999", "x" * 5000])
    def test_a_code_page_that_is_none_is_passed_over(self, page):
        files = {"a.shp": shp([SQUARE]), "a.dbf": dbf(["Åse"]), "a.cpg": page}
        assert read_boundaries(zipped(files), "f", crs="WGS84").shapes[0].name == "Åse"

    def test_an_enormous_prj_is_refused(self):
        refused(zipped({"a.shp": shp([SQUARE]), "a.prj": "x" * 30_000}), match="30,000 bytes, which no .prj")


class TestText:
    def test_deep_json_is_refused(self):
        refused(b'{"type":"Feature","geometry":' + b'{"a":' * 200_000, match="nests too deeply")
        refused(b'{"a":' + b"[" * 300_000, match="nests too deeply")

    def test_lists_without_end_are_counted_before_they_are_made(self):
        data = b'{"type":"Polygon","coordinates":[' + b"[]," * 500_000 + b"[]]}"
        assert peak_of(lambda: refused(data, match="more than 250,000 points need")) < MB

    def test_nested_collections_are_refused(self):
        shape = {"type": "Polygon", "coordinates": [SQUARE]}
        for _ in range(20):
            shape = {"type": "GeometryCollection", "geometries": [shape]}
        refused(json.dumps(shape).encode(), match="GeometryCollection")
        for _ in range(20):
            shape = {"type": "FeatureCollection", "features": [shape]}
        refused(json.dumps(shape).encode(), match="nests collections")

    @pytest.mark.parametrize(
        ("document", "match"),
        [
            ([1, 2], "bare list"),
            ({"type": "Topology"}, "type Topology, not GeoJSON"),
            ({"rings": []}, "type None"),
            ({"type": "Feature", "geometry": 7}, "holds no geometry"),
            ({"type": "FeatureCollection", "features": 7}, "no list of parts"),
            ({"type": "FeatureCollection", "features": [7]}, "“7” stands where"),
            ({"type": "Polygon", "coordinates": "x"}, "no list of parts"),
            ({"type": "Polygon", "coordinates": [[["0", "1"]]]}, "is not a position"),
            (
                {"type": "Polygon", "coordinates": [[[True, False], [True, True], [False, False]]]},
                "is not a position",
            ),
            ({"type": "Polygon", "coordinates": [[[1e300, 1], [2, 2], [3, 4]]]}, "is not a position"),
            ({"type": "Polygon", "coordinates": [[[1], [2, 2], [3, 4]]]}, "is not a position"),
            ({"type": "Circle", "coordinates": [1, 1]}, "type Circle"),
        ],
    )
    def test_what_is_no_geojson_is_said(self, document, match):
        refused(json.dumps(document).encode(), match=match)

    def test_not_a_number_is_refused(self):
        refused(b'{"type":"Polygon","coordinates":[[[NaN,1],[2,2],[3,1]]]}', match="is not a position")

    def test_deep_wkt_is_refused_before_it_is_read(self):
        refused(b"GEOMETRYCOLLECTION(" * 1_000_000, match="nests brackets more than 16 deep")
        refused(b"POLYGON((" + b"0 0," * 300_000 + b"0 0))", match="more than 250,000 points")

    @pytest.mark.parametrize(
        ("text", "match"),
        [
            ("POLYGON ((0 0, 1 1, 1 0)", "breaks off"),
            ("POLYGON ((0 0, fish, 1 0, 0 0))", "cannot be read as WKT"),
            ("POLYGON ((0 0, 1 1, 1 0, 0 0)) DROP TABLE", "“DROP TABLE” is not WKT"),
            ("CURVEPOLYGON (CIRCULARSTRING (0 0, 1 1, 2 0))", "has curves"),
            ("SRID=27700;POINT (1 1) SRID=4326;POINT (1 1)", "SRID 27700 and 4326"),
        ],
    )
    def test_what_is_no_wkt_is_said(self, text, match):
        refused(text.encode(), match=match)


class TestGround:
    @pytest.mark.parametrize(
        "ring",
        [
            [],
            [(0.2, 53.7)],
            [(0.2, 53.7), (0.2, 53.7), (0.2, 53.7), (0.2, 53.7)],
            [(0.2, 53.7), (0.21, 53.7), (0.22, 53.7), (0.2, 53.7)],
            [(0.2, 53.7), (0.21, 53.7), (0.2, 53.7)],
        ],
    )
    def test_an_outline_of_nothing_is_refused_in_every_format(self, ring):
        for data in (geojson(ring), kml(placemark(polygon(ring))), zipped({"a.shp": shp([ring])})):
            refused(data, match="holds no outline of any ground|1 parts in 0 points", crs="WGS84")

    def test_one_bad_outline_does_not_spoil_the_rest(self):
        line = [(0.2, 53.7), (0.21, 53.7), (0.22, 53.7), (0.2, 53.7)]
        read = read_boundaries(kml(placemark(polygon(line)) + placemark(polygon(SQUARE), "b")), "a.kml")
        assert [shape.name for shape in read.shapes] == ["b"]
        assert read.notes == ("1 shape without any ground inside was left out.",)

    def test_an_outline_across_the_180th_meridian_is_refused(self):
        ring = [(179.99, 10), (-179.99, 10), (-179.99, 10.01), (179.99, 10.01), (179.99, 10)]
        refused(geojson(ring), match="1 shape across the 180th meridian was left out")

    def test_longitudes_past_180_are_refused(self):
        refused(
            geojson([(179.9, 10), (180.1, 10), (180.1, 11), (179.9, 10)]),
            match="cannot be degrees",
            crs="WGS84",
        )


@pytest.mark.parametrize(
    ("data", "name", "match"),
    [
        (b"", "a.kml", "“a.kml” is empty"),
        (b"  \n", "a.kml", "is empty"),
        (b"\x1f\x8b\x08", "a.gz", "packed with gzip"),
        (b"SQLite format 3\x00", "a.gpkg", "is a database"),
        (b"%PDF-1.7", "map.pdf", "is a PDF"),
        (b"\x89PNG", "map.png", "is a picture"),
        (b"\x03~\x01\x01", "a.dbf", "is one part of a shapefile"),
        (b"TA 45 25", "a.txt", "starts with “TA 45 25”"),
        (bytes(BOUNDARY_LIMITS.file_bytes + 1), "big.kml", "“big.kml” has 25.0 MB"),
    ],
)
def test_what_is_no_map_file_is_named(data, name, match):
    refused(data, match=match, name=name)


def test_whatever_is_in_names_and_attributes_is_bounded():
    read = read_boundaries(
        geojson(**{"name": "x" * 9999, "a\x00b": "y\x00" * 9999, "deep": {"a": [1] * 999}}), "f"
    )
    assert len(read.shapes[0].name) <= 120
    assert all(len(str(value)) <= 500 for value in read.shapes[0].properties.values())


SOUND = [
    geojson(SQUARE, name="Beck Close"),
    kml(placemark(polygon(SQUARE))),
    gpx([SQUARE]),
    zipped({"a.shp": shp([SQUARE], [SQUARE]), "a.dbf": dbf(["a", "b"])}, zipfile.ZIP_STORED),
    shp([SQUARE], [SQUARE]),
    b"SRID=4326;POLYGON ((0.21 53.71, 0.22 53.71, 0.22 53.72, 0.21 53.71))",
]


@settings(max_examples=150, deadline=None)
@given(
    data=st.sampled_from(SOUND),
    changes=st.lists(st.tuples(st.integers(0, 2000), st.integers(0, 255)), max_size=6),
    cut=st.integers(0, 2000),
)
def test_a_damaged_file_is_read_or_refused_but_never_crashes(data, changes, cut):
    damaged = bytearray(data[: max(cut, 4)] if cut % 3 == 0 else data)
    for place, value in changes:
        damaged[place % len(damaged)] = value
    for read in (read_boundaries, read_places):
        answer = None
        with suppress(GeoError):
            answer = read(bytes(damaged), "f", crs="WGS84")
        assert answer is None or answer.shapes
