"""Importing boundaries, splitting a site and looking at protected places, as the secretary does it in a browser."""

import json
import re
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from people.models import User
from permissions.models import Site
from tests import make
from tests.browser.conftest import DESK, PHONE, Opener
from tests.browser.forms import press, says
from tests.views.test_imports import farm, square
from tests.views.test_protected import box, register

GRID = b"POLYGON((542400 412300, 542600 412300, 542600 412500, 542400 412500, 542400 412300))"


def a_file(name: str, data: bytes) -> dict[str, Any]:
    return {"name": name, "mimeType": "application/octet-stream", "buffer": data}


def send(page: Page, name: str, data: bytes, address: str = "/land/import/") -> None:
    page.goto(address)
    page.get_by_label("File").set_input_files(a_file(name, data))
    press(page, "Look at it")


def test_boundaries_are_sent_looked_at_on_the_map_and_saved(
    page_of: Opener, secretary: User, faults: Callable[[Page], list[str]]
) -> None:
    make.club()
    make.site(code="SF04", name="Saltmere Forty", by=secretary)
    page = page_of(secretary, viewport=PHONE)
    page.goto("/land/")
    page.get_by_role("link", name="Import boundaries").click()
    send(page, "farm.geojson", farm(("Long Lands", square(0.16)), ("Forty", square(0.1501))))
    expect(page.get_by_role("heading", level=1)).to_have_text("Look before saving")
    expect(page.locator("#preview[data-ready]")).to_be_visible()
    expect(page.get_by_role("list", name="Legend").first).to_contain_text("To be saved")
    says(page, "It shares 3.85 ha with SF04 Saltmere Forty.")
    assert Site.objects.count() == 1
    assert faults(page) == []
    page.get_by_label("What to do with shape 2").select_option("skip")
    page.get_by_label("Site code of shape 1").fill("SF04")
    press(page, "Save what is chosen")
    expect(page.locator(".error-summary")).to_contain_text("is the code of Saltmere Forty already")
    expect(page.get_by_label("Field name of shape 1")).to_have_value("Long Lands")
    assert faults(page) == []
    page.get_by_label("Site code of shape 1").fill("LL01")
    press(page, "Save what is chosen")
    expect(page.get_by_role("heading", level=1)).to_have_text("LL01 Long Lands")
    says(page, "read from farm.geojson by Sal Marram")


def test_a_file_without_its_system_is_asked_about_with_the_likely_places(
    page_of: Opener, secretary: User, faults: Callable[[Page], list[str]]
) -> None:
    make.club()
    page = page_of(secretary)
    send(page, "field.wkt", GRID)
    expect(page.get_by_role("heading", level=1)).to_have_text("Which coordinate system?")
    expect(page.locator("#systems[data-ready]")).to_be_visible()
    assert faults(page) == []
    page.get_by_label(re.compile("British National Grid")).check()
    press(page, "Read it so")
    says(page, "read as British National Grid (EPSG:27700), as you answered")


def test_an_import_works_without_javascript(page_of: Opener, secretary: User) -> None:
    make.club()
    page = page_of(secretary, java_script_enabled=False)
    send(page, "farm.geojson", farm(("Long Lands", square(0.16))))
    press(page, "Save what is chosen")
    expect(page.get_by_role("heading", level=1)).to_have_text("LL01 Long Lands")


def test_a_mended_boundary_is_shown_before_it_is_saved(page_of: Opener, secretary: User) -> None:
    make.club()
    site = make.site(code="SF04", name="Saltmere Forty", by=secretary)
    page = page_of(secretary, viewport=DESK)
    page.goto(f"/land/sites/{site.pk}/boundary/")
    crumb = [[0.16, 53.6], [0.16002, 53.6], [0.16002, 53.60001], [0.16, 53.6]]  # about 1 m²
    parts = [square(0.1502)["coordinates"], [crumb]]
    shape = {"type": "MultiPolygon", "coordinates": parts}
    page.locator("#id_boundary_text").fill(json.dumps(shape))
    press(page, "Save")
    says(page, "too small to be ground, left out")
    expect(page.locator("#look[data-ready]")).to_be_visible()
    assert site.boundaries.count() == 1
    press(page, "Save this boundary")
    expect(page).to_have_url(re.compile(rf"/land/sites/{site.pk}/$"))
    assert site.boundaries.count() == 2


def test_a_site_is_split_by_a_line_typed_on_a_phone(
    page_of: Opener, secretary: User, faults: Callable[[Page], list[str]]
) -> None:
    make.club()
    site = make.site(code="SF04", name="Saltmere Forty", by=secretary)
    make.permission(site, reference="P07")
    page = page_of(secretary, viewport=PHONE)
    page.goto(f"/land/sites/{site.pk}/split/")
    page.get_by_label("Line to cut along").fill("53.599, 0.1515\n53.603, 0.1515")
    press(page, "Look at the parts")
    says(page, "Permission P07 goes on over the new ground.")
    expect(page.locator("#look[data-ready]")).to_be_visible()
    assert faults(page) == []
    press(page, "Save it")
    expect(page.get_by_role("heading", level=1)).to_contain_text("SF04A Saltmere Forty A")
    expect(page.locator("main .page-head")).to_contain_text("Open")


def test_a_layer_of_protected_places_is_looked_at_and_shuts_the_site(
    page_of: Opener, secretary: User, faults: Callable[[Page], list[str]]
) -> None:
    make.club()
    site = make.site(code="SF04", name="Saltmere Forty", by=secretary)
    make.permission(site)
    page = page_of(secretary, viewport=PHONE)
    send(page, "monuments.geojson", register(("Howe Mound", box(0.1525))), "/land/protected/import/")
    says(page, "SF04 Saltmere Forty: Howe Mound, 0 m away")
    expect(page.locator("#places[data-ready]")).to_be_visible()
    assert faults(page) == []
    for label, text in (
        ("Name of the layer", "Monuments"),
        ("What its places are", "scheduled monument"),
        ("Source", "county council"),
        ("Licence of the data", "open licence"),
        ("The data are of", "2026-01-02"),
    ):
        page.get_by_label(label, exact=True).fill(text)
    press(page, "Save the layer")
    expect(page.get_by_role("heading", level=1)).to_have_text("Monuments")
    assert faults(page) == []
    page.get_by_role("link", name="SF04 Saltmere Forty").first.click()
    expect(page.locator("main .page-head")).to_contain_text("Shut")
    expect(page.get_by_role("list", name="Legend").first).to_contain_text("Protected place")
