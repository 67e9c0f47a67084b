"""The printed map: true to scale, told apart by shape, safe to hand out."""

import math
import xml.etree.ElementTree as ET

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import Geod

from geo.errors import GeoError
from geo.svgframe import Frame
from geo.svgfurniture import graticule, length_words, round_length_m
from geo.svgmap import NATIONAL_GRID, Ground, GroundShape, HoleMark, Layers, Mark, Shape, svg_map

SVG = "{http://www.w3.org/2000/svg}"
WGS84 = Geod(ellps="WGS84")


def at(east: float, north: float) -> tuple[float, float]:
    """Lon/lat of metres from a corner at sea, east of Holderness: TA 41 18."""
    return NATIONAL_GRID.inverse(541_000 + east, 418_000 + north)


def area(*points: tuple[float, float]) -> shapely.Polygon:
    return shapely.Polygon([at(*point) for point in points])


def line(*points: tuple[float, float]) -> shapely.LineString:
    return shapely.LineString([at(*point) for point in points])


FIELD = area((0, 0), (400, 0), (400, 300), (0, 300))
SITE = Layers(boundaries=[Shape(FIELD, "Long Marsh")])
FULL = Layers(
    boundaries=[Shape(FIELD, "Long Marsh")],
    no_go=[Shape(area((250, 60), (330, 60), (330, 120)), "Pipe")],
    covered=[Shape(area((60, 160), (200, 140), (220, 250)))],
    lanes=[Shape(line((60, 60), (60, 280)), "1")],
    holes=[HoleMark(*at(100, 100), True, "1"), HoleMark(*at(150, 100), False, "2")],
    finds=[Mark(*at(200, 200), "012")],
    ground=[
        GroundShape(Ground.HEDGE, line((0, -10), (400, -10))),
        GroundShape(Ground.TRACK, line((-10, 0), (-10, 300))),
        GroundShape(Ground.BECK, line((410, 0), (410, 300)), "Sunk Beck"),
        GroundShape(Ground.WOOD, area((100, 310), (200, 310), (200, 320))),
        GroundShape(Ground.FARMSTEAD, area((-25, 100), (-15, 100), (-15, 110))),
    ],
    gate=Mark(*at(0, 150), "Gate"),
    grid=NATIONAL_GRID,
)


def drawn(layers: Layers, **options: int) -> ET.Element:
    return ET.fromstring(svg_map(layers, title="Long Marsh", **options))


def texts(root: ET.Element) -> list[str]:
    return [node.text or "" for node in root.iter(f"{SVG}text")]


def frame_of(layers: Layers, width: float = 700, height: float = 500) -> Frame:
    return Frame.around(layers.extent(), width, height, 1.0)


def test_title_and_size_are_there_for_readers_and_printers() -> None:
    root = drawn(FULL, width_px=900, height_px=600)
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("900", "600", "0 0 900 600")
    assert root.get("role") == "img"
    title = root.find(f"{SVG}title")
    assert title is not None
    assert title.text == "Long Marsh"
    assert root.get("aria-labelledby") == title.get("id")


# Against the geodesic of GeographicLib (pyproj.Geod), independent of the projection used here.
@pytest.mark.parametrize(("a", "b"), [((0, 0), (400, 0)), ((0, 0), (0, 300)), ((13, 270), (390, 20))])
def test_distance_on_paper_is_true_to_scale(a: tuple[float, float], b: tuple[float, float]) -> None:
    frame = frame_of(SITE)
    on_paper_m = math.dist(frame.at(*at(*a)), frame.at(*at(*b))) / frame.px_per_m
    assert on_paper_m == pytest.approx(WGS84.inv(*at(*a), *at(*b))[2], rel=1e-6)


def test_north_is_up_and_east_is_right() -> None:
    frame = frame_of(SITE)
    lon, lat = at(200, 150)
    x, y = frame.at(lon, lat)
    assert frame.at(lon, lat + 0.001)[1] < y
    assert frame.at(lon + 0.001, lat)[0] > x


@given(
    west=st.floats(-8, 2), south=st.floats(50, 60), wide=st.floats(1e-5, 0.2), high=st.floats(1e-5, 0.2),
    paper=st.tuples(st.integers(200, 2000), st.integers(200, 2000)),
)  # fmt: skip
@settings(max_examples=100, deadline=None)
def test_every_boundary_lies_whole_within_the_frame(
    west: float, south: float, wide: float, high: float, paper: tuple[int, int]
) -> None:
    box = shapely.box(west, south, west + wide, south + high)
    frame = frame_of(Layers(boundaries=[Shape(box)]), *paper)
    assert all(frame.shows(*frame.at(lon, lat)) for lon, lat in box.exterior.coords)


def test_scale_bar_is_as_long_as_it_says() -> None:
    root = drawn(SITE)
    words = next(text for text in texts(root) if text.endswith(" m"))
    halves = [node for node in root.findall(f"{SVG}rect") if float(node.get("height", "0")) < 10]
    frame = Frame.around(SITE.extent(), 1000, 760 - 58 * 1000 / 700, 1000 / 700)
    length_m = sum(float(half.get("width", "0")) for half in halves) / frame.px_per_m
    assert length_m == pytest.approx(float(words.removesuffix(" m")), rel=1e-3)


@pytest.mark.parametrize(
    ("longest", "length"),
    [(99.9, 50), (100, 100), (199, 100), (200, 200), (501, 500), (7, 5), (1234, 1000), (0.3, 0.2)],
)
def test_scale_is_in_round_metres(longest: float, length: float) -> None:
    assert round_length_m(longest) == pytest.approx(length)


def test_long_scales_are_in_kilometres() -> None:
    assert (length_words(500), length_words(1000), length_words(2000)) == ("500 m", "1 km", "2 km")


def test_open_and_filled_holes_and_finds_differ_in_shape_not_only_colour() -> None:
    def count(layers: Layers, name: str) -> int:
        group = drawn(layers).find(f"{SVG}g")
        assert group is not None
        return len(list(group.iter(f"{SVG}{name}")))

    spot = at(100, 100)
    assert count(Layers(SITE.boundaries, holes=[HoleMark(*spot, True)]), "circle") == 1
    assert count(Layers(SITE.boundaries, holes=[HoleMark(*spot, True)]), "path") == 1  # the boundary alone
    assert count(Layers(SITE.boundaries, holes=[HoleMark(*spot, False)]), "path") == 2  # and a cross
    assert count(Layers(SITE.boundaries, finds=[Mark(*spot)]), "circle") == 0


def test_key_names_what_is_drawn_and_nothing_else() -> None:
    everything = {
        "Find", "Hole, filled", "Hole, open", "Gate", "Lane", "Boundary", "Do not search", "Ground covered", "Hedge",
        "Track", "Beck", "Wood", "Farmstead",
    }  # fmt: skip
    assert everything <= set(texts(drawn(FULL)))
    assert everything & set(texts(drawn(SITE))) == {"Boundary"}


def test_labels_are_there_and_no_two_marks_share_a_spot() -> None:
    assert {"Long Marsh", "Pipe", "1", "2", "012", "Gate", "Sunk Beck"} <= set(texts(drawn(FULL)))
    crowd = Layers(SITE.boundaries, finds=[Mark(*at(200, 150), f"{n:03d}") for n in range(50)])
    labels = [
        node
        for node in drawn(crowd).iter(f"{SVG}text")
        if (node.text or "").isdigit() and len(node.text or "") == 3
    ]
    assert 1 <= len(labels) <= 4
    assert len({(node.get("x"), node.get("y")) for node in labels}) == len(labels)


def test_what_lies_outside_the_frame_gets_no_mark() -> None:
    far = Layers(
        SITE.boundaries, finds=[Mark(*at(5000, 5000), "099")], holes=[HoleMark(*at(-5000, 0), True, "77")]
    )
    assert not {"099", "77"} & set(texts(drawn(far)))


def test_no_go_ground_is_hatched() -> None:
    root = drawn(FULL)
    assert [p.get("id") for p in root.iter(f"{SVG}pattern")] == ["no-go", "wood", "covered"]
    assert any(path.get("fill") == "url(#no-go)" for path in root.iter(f"{SVG}path"))


def test_holes_in_a_boundary_stay_open() -> None:
    ring = FIELD.difference(area((100, 100), (200, 100), (200, 200)))
    (path,) = [
        p
        for p in drawn(Layers([Shape(ring)])).iter(f"{SVG}path")
        if p.get("fill-rule") and p.get("d", "").count("Z") == 2
    ]
    assert path.get("fill-rule") == "evenodd"


# TA 411 182: eastings of 541100 begin 411, northings of 418200 begin 182 (Ordnance Survey, A Guide to Coordinate
# Systems in Great Britain v3.6, section 5: the figures within the 100 km square).
def test_grid_lines_bear_the_figures_of_the_reference() -> None:
    root = drawn(FULL)
    assert {"411", "412", "413", "181", "182"} <= set(texts(root))
    assert "Grid: British National Grid" in texts(root)
    assert "411" not in texts(drawn(SITE))


def test_grid_line_passes_where_its_figures_say() -> None:
    frame = frame_of(FULL)
    x, _ = frame.at(*at(100, 0))
    root = ET.fromstring(f'<svg xmlns="http://www.w3.org/2000/svg">{graticule(frame, NATIONAL_GRID)}</svg>')
    figure = next(node for node in root.iter(f"{SVG}text") if node.text == "411")
    assert float(figure.get("x", "0")) == pytest.approx(
        x, abs=3
    )  # it stands lower, where the line has leant a little


@pytest.mark.parametrize(
    "label",
    ["<script>alert(1)</script>", 'a" onload="x', "]]>&amp;", "nul\0 bell\x07", "lone \ud800", "\uffff"],
)
def test_labels_are_only_ever_words(label: str) -> None:
    layers = Layers([Shape(FIELD, label)], finds=[Mark(*at(200, 200), label)], gate=Mark(*at(0, 0), label))
    text = svg_map(layers, title=label)
    root = ET.fromstring(text.encode("utf-8"))
    assert not list(root.iter(f"{SVG}script"))
    assert all(not name.startswith("on") for node in root.iter() for name in node.attrib)


def test_svg_holds_no_style_script_or_link() -> None:
    text = svg_map(FULL, title="t")
    assert not any(
        word in text for word in ("style=", "<style", "<script", "href", "foreignObject", "<image")
    )


def test_same_layers_give_the_same_text() -> None:
    assert svg_map(FULL, title="t") == svg_map(FULL, title="t")


def test_one_point_is_drawn_with_60_metres_around_it() -> None:
    frame = frame_of(Layers(finds=[Mark(*at(0, 0), "1")]))
    assert frame.width_px / frame.px_per_m >= 60
    assert "1" in texts(drawn(Layers(finds=[Mark(*at(0, 0), "1")])))


def test_nothing_to_draw_and_too_little_paper_are_refused() -> None:
    with pytest.raises(GeoError, match="The map has nothing on it; give a boundary or at least one point"):
        svg_map(Layers(), title="t")
    with pytest.raises(GeoError, match="150 × 900 px is too small to read; give at least 200 px each way"):
        svg_map(SITE, width_px=150, height_px=900, title="t")
