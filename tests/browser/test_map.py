"""The maps: drawing with a mouse and with keys alone, taking the device's fix, tapping a place, looking and asking."""

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from pyproj import Geod

from geo.readings import read_spot
from people.models import User
from tests import make
from tests.browser.conftest import DESK, PHONE, Opener


def board(page_of: Opener, secretary: User, **options: Any) -> Page:
    """The page on which a site's boundary is drawn, with the map ready and the old boundary cleared."""
    make.club()
    site = make.site(code="RV01")
    page = page_of(secretary, **({"viewport": DESK} | options))
    page.goto(f"/land/sites/{site.pk}/boundary/")
    expect(page.locator("[data-map=draw][data-ready]")).to_be_visible()
    return page


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def drawn(page: Page) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(page.locator("#id_boundary_text").input_value())
    return found


def test_a_boundary_is_drawn_with_the_mouse_and_saved(page_of: Opener, secretary: User) -> None:
    page = board(page_of, secretary)
    press(page, "Clear")
    canvas = page.locator("[data-map=draw]")
    for x, y in ((200, 100), (330, 100), (330, 230), (200, 230), (200, 100)):
        canvas.click(position={"x": x, "y": y})
        page.wait_for_timeout(350)  # two taps within a quarter of a second would be one double tap
    expect(page.locator("[data-map-says]").first).to_contain_text("Shape closed")
    assert drawn(page)["type"] == "Polygon"
    press(page, "Save")
    expect(page).to_have_url(re.compile(r"/land/sites/\d+/$"))


def test_the_size_shown_while_drawing_agrees_with_the_ellipsoid(page_of: Opener, secretary: User) -> None:
    """Source: pyproj's Geod on WGS84 (Karney 2013) as the reference; the preview is on a sphere, within 0.6 %."""
    page = board(page_of, secretary)
    ring = [[0.15, 53.6], [0.16, 53.6], [0.16, 53.61], [0.15, 53.61], [0.15, 53.6]]
    page.locator("#id_boundary_text").fill(json.dumps({"type": "Polygon", "coordinates": [ring]}))
    page.locator("#id_boundary_text").blur()
    expect(page.locator("[data-map-says]").first).to_contain_text("Taken over")
    shown = re.search(r"About ([\d.]+) ha", page.locator("[data-draw-size]").inner_text())
    area_m2, _ = Geod(ellps="WGS84").polygon_area_perimeter(*zip(*ring, strict=True))
    assert shown is not None
    assert float(shown[1]) * 10_000 == pytest.approx(area_m2, rel=0.006)


def test_pasted_grid_references_are_explained_before_the_field_is_left(
    page_of: Opener, secretary: User
) -> None:
    page = board(page_of, secretary)
    page.locator("#id_boundary_text").fill("TA 4750 1530\nTA 4768 1530\nTA 4768 1548")
    # Said on leaving the field, it would move the button that is being pressed, and the press would be lost.
    expect(page.locator("[data-map-says]").first).to_contain_text("Grid references are read when you save")


def test_a_boundary_is_drawn_with_keys_alone(page_of: Opener, secretary: User) -> None:
    page = board(page_of, secretary)
    press(page, "Clear")
    page.locator("[data-map=draw]").focus()
    for keys in (["Enter"], ["ArrowRight", "Enter"], ["ArrowDown", "Enter"], ["ArrowLeft", "Enter"]):
        for key in keys:
            page.keyboard.press(key)
            page.wait_for_timeout(250)  # the map glides to its new place
    page.keyboard.press("Backspace")
    press(page, "Close the shape")
    expect(page.locator("[data-map-says]").first).to_contain_text("Shape closed")
    assert len(drawn(page)["coordinates"][0]) == 4  # three corners and the closing one


def test_what_was_cleared_comes_back_with_undo(page_of: Opener, secretary: User) -> None:
    page = board(page_of, secretary)
    before = drawn(page)
    press(page, "Clear")
    assert page.locator("#id_boundary_text").input_value() == ""
    press(page, "Undo")
    assert drawn(page)["type"] == before["type"].removeprefix("Multi")
    press(page, "Redo")
    assert page.locator("#id_boundary_text").input_value() == ""


def test_a_shape_keeps_its_last_three_corners(page_of: Opener, secretary: User) -> None:
    page = board(page_of, secretary)
    for _ in range(3):
        press(page, "Remove corner")
    expect(page.locator("[data-map-says]").first).to_contain_text("last three corners")
    assert len(drawn(page)["coordinates"][0]) == 4


def test_the_board_fits_a_phone_and_passes_axe(
    page_of: Opener, secretary: User, faults: Callable[[Page], list[str]]
) -> None:
    page = board(page_of, secretary, viewport=PHONE)
    assert faults(page) == []


def test_a_tap_on_the_land_map_names_the_field_and_links_to_it(page_of: Opener, secretary: User) -> None:
    make.club()
    make.site(code="RV01", name="Long Lands")
    page = page_of(secretary)
    page.goto("/land/")
    canvas = page.locator("[data-map=view][data-ready]")
    canvas.click()
    expect(page.get_by_role("status").get_by_role("link", name="RV01 Long Lands")).to_be_visible()
    expect(page.get_by_role("list", name="Legend")).not_to_be_empty()


FIX = {"latitude": 53.6009, "longitude": 0.1512, "accuracy": 4}


def hole_form(page_of: Opener, leader: User, **options: Any) -> Page:
    make.club()
    hunt = make.hunt(leader=leader)
    page = page_of(leader, **options)
    page.goto(f"/hunts/{hunt.pk}/holes/log/")
    return page


def value(page: Page, name: str) -> str:
    return page.locator(f'[data-position="{name}"]').input_value()


def test_the_device_fills_the_position(page_of: Opener, leader: User) -> None:
    page = hole_form(page_of, leader, geolocation=FIX, permissions=["geolocation"])
    press(page, "Use my position")
    expect(page.locator("[data-pick-says]")).to_have_text("Position taken, good to 4 m.")
    shown = (
        float(value(page, "lat")),
        float(value(page, "lon")),
        float(value(page, "accuracy")),
        value(page, "method"),
    )
    assert shown == (53.6009, 0.1512, 4.0, "device")


def test_several_fixes_are_written_a_line_each_and_read_by_the_server(page_of: Opener, leader: User) -> None:
    page = hole_form(page_of, leader, geolocation=FIX, permissions=["geolocation"])
    press(page, "Average my position (30 seconds)")
    says = page.locator("[data-pick-says]")
    expect(says).to_have_text("Reading 1, good to 4 m…")
    page.wait_for_timeout(3_200)  # a reading every three seconds
    page.context.set_geolocation(FIX | {"latitude": 53.60092, "accuracy": 5})
    expect(says).to_have_text("Reading 2, good to 5 m…")
    press(page, "Stop and keep these readings")
    expect(says).to_contain_text("2 readings are in the field; they are averaged when you save.")
    lines = page.locator("#id_position_text").input_value().splitlines()
    assert [line.split(" at ")[0] for line in lines] == [
        "53.6009000, 0.1512000 ±4.0 m",
        "53.6009200, 0.1512000 ±5.0 m",
    ]
    spot = read_spot("\n".join(lines))
    assert 53.6009 < spot.lat < 53.60092
    assert value(page, "lat") == ""


def test_a_refusal_while_averaging_says_what_to_do(page_of: Opener, leader: User) -> None:
    page = hole_form(page_of, leader, permissions=[])
    press(page, "Average my position (30 seconds)")
    expect(page.locator("[data-pick-says]")).to_contain_text("type the readings, one a line")
    expect(page.get_by_role("button", name="Average my position (30 seconds)")).to_be_visible()


def test_a_refused_position_says_what_to_do(page_of: Opener, leader: User) -> None:
    page = hole_form(page_of, leader, permissions=[])
    press(page, "Use my position")
    expect(page.locator("[data-pick-says]")).to_contain_text("type a grid reference")
    assert value(page, "lat") == ""


def test_a_tap_fills_the_position_with_an_honest_accuracy(page_of: Opener, leader: User) -> None:
    page = hole_form(page_of, leader, has_touch=True)
    press(page, "Tap on the map")
    page.locator("[data-map=pick][data-ready]").tap()
    expect(page.locator("[data-pick-says]")).to_contain_text("Place set from the map")
    assert value(page, "method") == "map"
    assert float(value(page, "accuracy")) >= 1
    assert abs(float(value(page, "lat")) - 53.6009) < 0.01
