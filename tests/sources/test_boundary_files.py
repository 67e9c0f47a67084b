"""Boundary files against GDAL: what ogr2ogr writes in each format comes back as the same ground within 1 cm.

The files in boundary_files/ were written by GDAL 3.6.2 (see ogr_files.py), so the check runs everywhere; where ogr2ogr
is installed each is written anew as well. Systems of Britain and Ireland are held against their surveys' points.
"""

import io
import zipfile

import pytest
import shapely

from geo.files import read_boundaries, read_places
from geo.local import Local
from geo.measure import to_shape
from geo.polygon import check_boundary
from tests.sources import ogr_files

ONE_CM = 0.01
SURVEYED = [name for name in ogr_files.FILES if name.startswith("survey")]
PLAIN = [name for name in ogr_files.FILES if name not in SURVEYED]


@pytest.fixture(params=["committed", "written now"])
def file_of(request, tmp_path):
    """Gives the bytes of a file of the table, as committed or as this machine's ogr2ogr writes it."""
    if request.param == "committed":
        return lambda name: (ogr_files.HERE / name).read_bytes()
    if not ogr_files.OGR:
        pytest.skip("GDAL's ogr2ogr is not installed here, so only the committed files are read")
    return lambda name: ogr_files.write(name, tmp_path).read_bytes()


def apart_m(one, other):
    """The Hausdorff distance of two outlines, holes and all, in metres."""
    local = Local.around(one)
    return shapely.hausdorff_distance(*(shapely.boundary(local.to_metres(shape)) for shape in (one, other)))


def expected(name):
    if name.endswith(".gpx"):
        return {"Beck Close": shapely.Polygon(ogr_files.CLOSE[0])}
    return {key: to_shape(shape) for key, shape in ogr_files.GROUND.items()}


@pytest.mark.parametrize("name", PLAIN)
def test_what_gdal_writes_comes_back_within_a_centimetre(name, file_of):
    read = read_boundaries(file_of(name), name)
    assert read.crs_known
    wanted = expected(name)
    assert len(read.shapes) == len(wanted)
    for shape, (called, ground) in zip(read.shapes, wanted.items(), strict=True):
        got = to_shape(shape.geometry)
        assert apart_m(ground, got) < ONE_CM
        assert shapely.area(shapely.symmetric_difference(ground, got)) < 1e-11
        assert [len(p.interiors) for p in shapely.get_parts(got)] == [
            len(p.interiors) for p in shapely.get_parts(ground)
        ]
        if not name.endswith(".wkt"):
            assert shape.name == called


@pytest.mark.parametrize("name", PLAIN)
def test_what_was_read_passes_the_check_of_a_boundary_within_a_centimetre(name, file_of):
    for shape, ground in zip(
        read_boundaries(file_of(name), name).shapes, expected(name).values(), strict=True
    ):
        checked = check_boundary(shape.geometry)
        assert not checked.repaired
        assert apart_m(ground, to_shape(checked.geometry)) < ONE_CM


@pytest.mark.parametrize(
    "name", [n for n in PLAIN if n.endswith((".zip", ".shz", "plain.geojson", ".kml", ".kmz"))]
)
def test_attributes_come_along(name, file_of):
    properties = read_boundaries(file_of(name), name).shapes[0].properties
    assert properties["crop"] == "stubble"
    assert float(properties["ha"]) == 3.5


@pytest.mark.parametrize("name", SURVEYED)
def test_national_grid_files_lie_where_the_survey_says(name, file_of):
    """Ordnance Survey, Transformations and OSGM15 User Guide v1.3: five points of its test file, to 1 cm."""
    read = read_boundaries(file_of(name), name)
    assert read.crs == "British National Grid (EPSG:27700)"
    published = shapely.Polygon([degrees for degrees, _ in ogr_files.SURVEY])
    got = to_shape(read.shapes[0].geometry)
    for wanted, found in zip(shapely.get_coordinates(published), _same_way(published, got), strict=True):
        local = Local(*wanted.tolist())
        assert max(abs(float(v)) for v in local.forward(*found)) < ONE_CM


def _same_way(published, got):
    """The ring of `got` started and turned as the published one; shapefiles turn outlines clockwise."""
    if shapely.is_ccw(got.exterior) != shapely.is_ccw(published.exterior):
        got = shapely.reverse(got)
    return shapely.get_coordinates(got)


@pytest.mark.parametrize(
    ("text", "lat", "lon", "within_m"),
    [
        # Ordnance Survey Ireland's station list, Tralee, as second-hand quoted: printed to 1 mas (3 cm).
        ("SRID=29903;POINT (85877.532 116277.960)", (52, 17, 12.413), (-9, 40, 23.292), 0.03),
        ("SRID=29902;POINT (85877.532 116277.960)", (52, 17, 12.413), (-9, 40, 23.292), 0.03),
        ("SRID=2157;POINT (485852.637 616330.815)", (52, 17, 12.413), (-9, 40, 23.292), 0.03),
        # GeographicLib's documentation: 33.3 N 44.4 E is 38n 444140.54 3684706.36, printed to 1 cm.
        ("SRID=32638;POINT (444140.54 3684706.36)", (33, 18, 0), (44, 24, 0), 0.01),
        # Ordnance Survey, A Guide to Coordinate Systems v3.6, annexes B to D: the same point on Airy and on GRS80 by
        # the seven-parameter shift, which is good to 3 m (95 %); OSTN15 serves here, so metres may part them.
        ("SRID=4277;POINT (-1.662928 53.611749)", (53, 36, 43.1653), (-1, 39, 51.9920), 6.0),
    ],
)
def test_other_systems_lie_where_their_surveys_say(text, lat, lon, within_m):
    place = to_shape(read_places(text.encode(), "point.wkt").shapes[0].geometry)
    local = Local(*((-1 if d < 0 else 1) * (abs(d) + m / 60 + s / 3600) for d, m, s in (lon, lat)))
    assert max(abs(float(v)) for v in local.forward(place.x, place.y)) < within_m


SPACES = [
    "http://www.opengis.net/kml/2.2",  # OGC 07-147r2
    "http://www.opengis.net/kml/2.3",  # OGC 12-007r2
    "http://earth.google.com/kml/2.1",  # before the standard
    "",
]


@pytest.mark.parametrize("space", SPACES)
@pytest.mark.parametrize("prefix", ["", "k:"])
def test_every_kml_namespace_reads_alike(space, prefix):
    """OGC 07-147r2: Placemark, Polygon, outerBoundaryIs and innerBoundaryIs, coordinates as lon,lat[,alt]."""
    if prefix and not space:
        pytest.skip("a prefix needs a namespace")
    declared = f' xmlns{":k" if prefix else ""}="{space}"' if space else ""
    outer = " ".join(f"{x},{y},0" for x, y in ogr_files.CLOSE[0])
    inner = " ".join(f"{x},{y}" for x, y in ogr_files.CLOSE[1])
    body = (
        f"<kml{declared}><Document><Placemark><name>Beck Close</name><Polygon>"
        f"<outerBoundaryIs><LinearRing><coordinates>{outer}</coordinates></LinearRing></outerBoundaryIs>"
        f"<innerBoundaryIs><LinearRing><coordinates>\n{inner}\n</coordinates></LinearRing></innerBoundaryIs>"
        "</Polygon></Placemark></Document></kml>"
    )
    for tag in ("kml", "Document", "Placemark", "name", "Polygon", "outerBoundaryIs", "innerBoundaryIs"):
        body = body.replace(f"<{tag}", f"<{prefix}{tag}").replace(f"</{tag}", f"</{prefix}{tag}")
    for tag in ("LinearRing", "coordinates"):
        body = body.replace(f"<{tag}", f"<{prefix}{tag}").replace(f"</{tag}", f"</{prefix}{tag}")
    read = read_boundaries(body.encode(), "a.kml")
    assert read.shapes[0].geometry == {"type": "Polygon", "coordinates": ogr_files.CLOSE[:2]}
    assert read.shapes[0].name == "Beck Close"


def test_the_format_is_judged_by_the_content(tmp_path):
    for name in PLAIN:
        data = (ogr_files.HERE / name).read_bytes()
        assert read_boundaries(data, "boundary.bin") == read_boundaries(data, name)


def test_a_plain_file_in_a_zip_is_read_as_itself():
    inside = (ogr_files.HERE / "plain.geojson").read_bytes()
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as zipped:
        zipped.writestr("fields/plain.geojson", inside)
    assert read_boundaries(packed.getvalue(), "a.zip") == read_boundaries(inside, "a.geojson")
