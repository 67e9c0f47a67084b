"""Boundary files: what is taken, closed, left out and said, in every format."""

import json

import pytest
import shapely

from geo.files import CrsUnknownError, FileError, read_boundaries, read_places
from geo.measure import area_m2, to_shape
from tests.unit.geo.file_makers import (
    GRID_SQUARE,
    SQUARE,
    dbf,
    geojson,
    gpx,
    kml,
    placemark,
    polygon,
    shp,
    zipped,
)

HOLE = [(0.212, 53.711), (0.213, 53.711), (0.213, 53.712), (0.212, 53.712), (0.212, 53.711)]
AWAY = [(x + 0.01, y) for x, y in SQUARE]


def only(data, name="f", **options):
    (shape,) = read_boundaries(data, name, **options).shapes
    return to_shape(shape.geometry)


def test_a_hole_stays_a_hole():
    for data in (geojson(SQUARE, HOLE), kml(placemark(polygon(SQUARE, HOLE)))):
        assert only(data).equals(shapely.Polygon(SQUARE, [HOLE]))


@pytest.mark.parametrize("turned", [(False, False), (True, False), (False, True), (True, True)])
def test_rings_of_a_shapefile_are_told_apart_by_nesting_whichever_way_they_turn(turned):
    """The description says clockwise outside; writers differ. An island in a hole is ground again."""
    island = [(0.2124, 53.7114), (0.2126, 53.7114), (0.2126, 53.7116), (0.2124, 53.7114)]
    outer, hole = (ring[::-1] if turn else ring for ring, turn in zip((SQUARE, HOLE), turned, strict=True))
    got = only(shp([island, hole, AWAY, outer]), crs="WGS84")
    wanted = shapely.MultiPolygon([(SQUARE, [HOLE]), (island, []), (AWAY, [])])
    assert got.equals(wanted)
    assert len(shapely.get_parts(got)) == 3


def test_names_and_encodings_of_a_shapefile():
    parts = {"a.shp": shp([SQUARE], [AWAY], None, [SQUARE]), "a.prj": 'GEOGCS["WGS 84"]'}
    data = zipped(parts | {"a.dbf": dbf(["Åse's Piece", None, "x", "Beck"], "cp1252", page=0x57)})
    read = read_boundaries(data, "a.zip", crs="WGS84")
    assert [shape.name for shape in read.shapes] == ["Åse's Piece", "Beck"]
    assert "1 deleted shape was left out." in read.notes
    assert "1 empty shape was left out." in read.notes
    utf8 = zipped({"a.shp": shp([SQUARE]), "a.dbf": dbf(["Åse"]), "a.cpg": "UTF-8"})
    assert read_boundaries(utf8, "a.zip", crs="4326").shapes[0].name == "Åse"


def test_several_layers_of_a_zip_are_all_read():
    layers = {"b/South.SHP": shp([AWAY]), "b/South.DBF": dbf(["South"]), "north.shp": shp([SQUARE])}
    read = read_boundaries(zipped(layers), "a.zip", crs="WGS84")
    assert [shape.name for shape in read.shapes] == ["Shape 1", "South"]
    assert any("north.shp" in note for note in read.notes)


def test_all_documents_of_a_kmz_are_read_the_main_one_first():
    files = {
        "layers/b.kml": kml(placemark(polygon(AWAY), "b")),
        "doc.kml": kml(placemark(polygon(SQUARE), "a")),
    }
    assert [shape.name for shape in read_boundaries(zipped(files), "a.kmz").shapes] == ["a", "b"]


def test_kml_folders_and_attributes_come_along():
    data = '<ExtendedData><Data name="crop"><value>stubble</value></Data></ExtendedData>' + polygon(SQUARE)
    inside = f"<Folder><name>North</name>{placemark(data)}</Folder>{placemark(polygon(AWAY), '')}"
    first, second = read_boundaries(kml(inside), "a.kml").shapes
    assert first.properties == {"name": "Beck Close", "crop": "stubble", "folder": "North"}
    assert second.name == "Shape 2"


def test_kml_multi_geometry_is_one_boundary_and_its_pin_is_left_out():
    pin = "<Point><coordinates>0.21,53.71</coordinates></Point>"
    inside = placemark(f"<MultiGeometry>{polygon(SQUARE)}{polygon(AWAY)}{pin}</MultiGeometry>")
    read = read_boundaries(kml(inside), "a.kml")
    assert to_shape(read.shapes[0].geometry).equals(shapely.MultiPolygon([(SQUARE, []), (AWAY, [])]))
    assert read.notes == ("1 point was left out.",)


def test_kml_commas_with_spaces_are_forgiven():
    text = " ".join(f"{x}, {y} ,0" for x, y in SQUARE)
    ring = f"<LinearRing><coordinates>{text}</coordinates></LinearRing>"
    shape = f"<Polygon><outerBoundaryIs>{ring}</outerBoundaryIs></Polygon>"
    assert only(kml(placemark(shape))).equals(shapely.Polygon(SQUARE))


@pytest.mark.parametrize(
    "data",
    [
        geojson([[*p, 12.5] for p in SQUARE]),
        kml(placemark(polygon([(*p, 12.5) for p in SQUARE]))),
        f"SRID=4326;POLYGON Z (({', '.join(f'{x} {y} 7' for x, y in SQUARE)}))".encode(),
    ],
)
def test_heights_are_left_out_and_said(data):
    read = read_boundaries(data, "f")
    assert read.notes == ("Heights were left out.",)
    assert to_shape(read.shapes[0].geometry).equals(shapely.Polygon(SQUARE))


@pytest.mark.parametrize("kind", ["POLYGON M ((%s))", "POLYGON ZM ((%s))", "polygon((%s))"])
def test_wkt_measures_are_left_out(kind):
    extra = {"POLYGON M ((%s))": " 1", "POLYGON ZM ((%s))": " 1 2"}.get(kind, "")
    text = kind % ", ".join(f"{x} {y}{extra}" for x, y in SQUARE)
    assert only(text.encode(), crs="WGS84").equals(shapely.Polygon(SQUARE))


def test_wkt_shapes_may_stand_in_lines_or_a_row():
    one = shapely.Polygon(SQUARE).wkt
    for text in (f"{one}\n{one}", f"{one}; {one};", f"\ufeff{one},{one}\n\n"):
        assert len(read_boundaries(text.encode(), "f", crs="WGS84").shapes) == 2
    assert len(read_boundaries(one.encode("utf-16"), "f", crs="WGS84").shapes) == 1


def test_utf16_xml_is_read():
    data = kml(placemark(polygon(SQUARE), "Åse")).decode()
    head = '<?xml version="1.0" encoding="UTF-16"?>'
    assert read_boundaries((head + data).encode("utf-16"), "a.kml").shapes[0].name == "Åse"


class TestTracks:
    def test_a_walked_track_is_closed_over_its_gap(self):
        read = read_boundaries(gpx([SQUARE[:4]]), "a.gpx")
        assert to_shape(read.shapes[0].geometry).equals(shapely.Polygon(SQUARE))
        assert read.shapes[0].name == "Round the close"
        assert read.notes == ("The ends of “Round the close” were joined over 334 m.",)

    def test_ends_far_apart_are_no_way_round(self):
        with pytest.raises(FileError, match=r"ends of “Round the close” are \d+ m apart"):
            read_boundaries(gpx([[(0.21, 53.71), (0.215, 53.71), (0.22, 53.711), (0.23, 53.71)]]), "a.gpx")

    def test_pieces_of_one_track_are_joined_in_order(self):
        read = read_boundaries(gpx([SQUARE[:2], SQUARE[2:]]), "a.gpx")
        assert to_shape(read.shapes[0].geometry).equals(shapely.Polygon(SQUARE))
        assert "The 2 pieces of a track were joined in order." in read.notes

    def test_pieces_that_close_by_themselves_stay_apart(self):
        assert len(read_boundaries(gpx([SQUARE, AWAY]), "a.gpx").shapes) == 2


def test_a_closed_line_is_read_as_a_boundary_an_open_one_is_not():
    closed = {"type": "LineString", "coordinates": SQUARE}
    assert only(json.dumps(closed).encode()).equals(shapely.Polygon(SQUARE))
    with pytest.raises(FileError, match="1 line was left out"):
        read_boundaries(json.dumps(closed | {"coordinates": SQUARE[:4]}).encode(), "f")


class TestSystems:
    def test_national_grid_numbers_without_a_word_are_asked_about(self):
        with pytest.raises(CrsUnknownError, match="cannot be degrees") as caught:
            read_boundaries(geojson(GRID_SQUARE), "a.geojson")
        (choice,) = caught.value.choices
        assert choice.code == "EPSG:27700"
        assert (round(choice.lon, 1), round(choice.lat, 1)) == (0.2, 53.7)
        assert "British National Grid" in caught.value.remedy

    @pytest.mark.parametrize(
        "answer", ["EPSG:27700", "27700", "British National Grid", "urn:ogc:def:crs:EPSG::27700"]
    )
    def test_the_answer_is_taken_in_any_spelling(self, answer):
        read = read_boundaries(geojson(GRID_SQUARE), "a.geojson", crs=answer)
        assert not read.crs_known
        assert area_m2(read.shapes[0].geometry) == pytest.approx(90_000, rel=2e-3)

    def test_the_club_s_own_place_comes_first(self):
        irish = [(258500, 230500), (258900, 230500), (258900, 230900), (258500, 230500)]
        with pytest.raises(CrsUnknownError) as here:
            read_boundaries(geojson(irish), "f", near=(-7.0, 53.3))
        with pytest.raises(CrsUnknownError) as there:
            read_boundaries(geojson(irish), "f", near=(-4.0, 51.9))
        assert here.value.choices[0].code == "EPSG:29903"
        assert there.value.choices[0].code == "EPSG:27700"

    @pytest.mark.parametrize("member", ["EPSG:27700", "urn:ogc:def:crs:EPSG::27700"])
    def test_a_crs_member_is_believed(self, member):
        read = read_boundaries(geojson(GRID_SQUARE, crs=member), "f")
        assert (read.crs, read.crs_known) == ("British National Grid (EPSG:27700)", True)

    def test_an_answer_that_contradicts_the_file_is_said(self):
        read = read_boundaries(geojson(GRID_SQUARE, crs="EPSG:32631"), "f", crs="EPSG:27700")
        assert not read.crs_known
        assert "The file says WGS 84 / UTM zone 31N (EPSG:32631)" in read.notes[0]

    @pytest.mark.parametrize("member", ["EPSG:999999", "urn:x:local", "EPSG:5701"])
    def test_a_system_that_nobody_knows_is_asked_about(self, member):
        with pytest.raises(CrsUnknownError, match=member):
            read_boundaries(geojson(GRID_SQUARE, crs=member), "f")

    @pytest.mark.parametrize("text", ["Mars", "EPSG:999999", "UTM 61N", "+proj=utm +nadgrids=/etc/passwd"])
    def test_an_answer_that_is_no_system_is_refused(self, text):
        with pytest.raises(FileError, match="British National Grid, Irish Grid"):
            read_boundaries(geojson(), "f", crs=text)

    def test_a_shapefile_without_prj_is_asked_about_with_its_degrees(self):
        with pytest.raises(CrsUnknownError) as caught:
            read_boundaries(zipped({"a.shp": shp([SQUARE])}), "a.zip")
        assert [choice.code for choice in caught.value.choices] == ["EPSG:4326", "EPSG:4277"]

    @pytest.mark.parametrize(
        "prj",
        [
            "nonsense",
            'PROJCS["Local site grid",' + "[" * 5000,
            'LOCAL_CS["Site grid",UNIT["m",1]]',
            'PROJCS["x",GEOGCS["y",DATUM["z",SPHEROID["s",6378137,298]],PRIMEM["g",0],UNIT["d",0.0174]],'
            'PROJECTION["Transverse_Mercator"],UNIT["m",1],EXTENSION["PROJ4","+proj=utm +nadgrids=/etc/passwd"]]',
        ],
    )
    def test_a_prj_that_means_nothing_is_asked_about(self, prj):
        with pytest.raises(CrsUnknownError):
            read_boundaries(zipped({"a.shp": shp([GRID_SQUARE]), "a.prj": prj}), "a.zip")

    def test_metres_outside_the_grid_are_refused_with_the_numbers(self):
        with pytest.raises(FileError, match="-5, 100 is not where British National Grid holds"):
            read_boundaries(geojson([(-5, 100), (10, 100), (10, 200), (-5, 100)]), "f", crs="27700")

    def test_a_place_outside_a_system_s_area_is_refused(self):
        """Dublin in the Dutch grid: PROJ would answer without a word."""
        with pytest.raises(FileError, match="is not where"):
            read_boundaries(geojson(GRID_SQUARE), "f", crs="EPSG:28992")

    def test_latitude_first_is_noticed(self):
        swapped = [(y + 40, x) for x, y in SQUARE]
        with pytest.raises(FileError, match="latitude before longitude"):
            read_boundaries(geojson([(x, y) for y, x in swapped]), "f")


class TestPlaces:
    DATA = json.dumps(
        {
            "type": "FeatureCollection",
            "features": [
                {"type": "Feature", "properties": {"ListEntry": n, "Title": f"Mound {n}"}, "geometry": shape}
                for n, shape in enumerate(
                    (
                        {"type": "Polygon", "coordinates": [SQUARE]},
                        {"type": "Point", "coordinates": [0.3, 53.7]},
                        {"type": "LineString", "coordinates": AWAY[:3]},
                        {"type": "MultiPoint", "coordinates": [[0.4, 53.7], [0.41, 53.7]]},
                        {"type": "Polygon", "coordinates": [[[0, 50], [1, 51], [1, 50], [0, 51], [0, 50]]]},
                    )
                )
            ],
        }
    ).encode()

    def test_points_and_lines_are_kept_and_attributes_come_along(self):
        read = read_places(self.DATA, "places.geojson")
        kinds = [shape.geometry["type"] for shape in read.shapes]
        assert kinds == ["Polygon", "Point", "LineString", "MultiPoint", "MultiPolygon"]
        assert read.shapes[0].properties == {"ListEntry": 0, "Title": "Mound 0"}
        assert [to_shape(s.geometry).is_valid for s in read.shapes] == [True] * 5
        assert read.notes == ("1 outline crossed or touched itself and was mended.",)

    def test_the_name_may_be_chosen(self):
        assert read_places(self.DATA, "f").shapes[1].name == "Mound 1"
        assert read_places(self.DATA, "f", name_field="listentry").shapes[1].name == "1"

    def test_only_places_within_the_box_are_kept(self):
        read = read_places(self.DATA, "f", within=(0.2, 53.6, 0.35, 53.8))
        assert [shape.name for shape in read.shapes] == ["Mound 0", "Mound 1", "Mound 2"]
        assert "2 shapes beyond the area asked for were left out." in read.notes
        assert read_places(self.DATA, "f", within=(8, 8, 9, 9)).shapes == ()
