"""Where I am, on a phone without a network: the reference, the edge, no-go ground, my lane, and the picture."""

from collections.abc import Callable
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from geo.areas import Country
from geo.gridref import grid_reference
from geo.local import Local
from hunts.models import Hunt
from people.models import User
from permissions.models import NoGoArea
from tests.browser.field_phone import at_the_gate, hunt, phone_of

__all__ = ["hunt", "phone_of"]
pytestmark = pytest.mark.browser
MIDDLE = Local(0.1515, 53.6009)  # of the makers' square field, 198 by 200 m
POND = {
    "type": "Polygon",
    "coordinates": [
        [[0.1505, 53.6013], [0.1508, 53.6013], [0.1508, 53.6015], [0.1505, 53.6015], [0.1505, 53.6013]]
    ],
}


def fix(east_m: float, north_m: float, accuracy_m: float = 4) -> Any:
    lon, lat = MIDDLE.inverse(east_m, north_m)
    return {"longitude": float(lon), "latitude": float(lat), "accuracy": accuracy_m}


def stand(page: Page, east_m: float, north_m: float, accuracy_m: float = 4) -> None:
    page.context.set_geolocation(fix(east_m, north_m, accuracy_m))


@pytest.fixture
def standing(phone_of: Callable[..., Page], hunt: Hunt, member: User) -> Page:
    """The page opened at the gate, then without a network, on its screen of where one stands."""
    NoGoArea.objects.create(site=hunt.sites.get(), reason="Pond", geometry=POND, buffer_m=0)
    page = phone_of(member, geolocation=fix(10, -20))
    at_the_gate(page, hunt)
    page.context.set_offline(True)
    page.get_by_role("link", name="Where I am").click()
    expect(page.get_by_role("heading", name="Where I am")).to_be_visible()
    return page


def test_the_reference_is_the_server_s_without_a_network(standing: Page) -> None:
    at = fix(10, -20)
    wanted = grid_reference(at["longitude"], at["latitude"], accuracy_m=4, country=Country.GB)
    expect(standing.locator(".card .ref")).to_have_text(wanted)
    expect(standing.get_by_text("British National Grid. Good to 4 m")).to_be_visible()
    expect(standing.locator("[data-fix]")).to_have_text("Good enough: within 4 m, from one fix.")


def test_edge_no_go_ground_and_lane_are_told_and_drawn(standing: Page, hunt: Hunt) -> None:
    code = hunt.sites.get().code
    ground = standing.get_by_role("region", name="The ground round you")
    expect(ground.get_by_text(f"Inside {code}; its edge is")).to_be_visible()
    expect(ground.get_by_text("No-go ground (Pond):")).to_be_visible()
    expect(ground.get_by_text("Your lane ")).to_be_visible()
    expect(standing.locator("svg.ground path").first).to_be_attached()


def test_the_warning_grows_as_one_walks_out(standing: Page, hunt: Hunt) -> None:
    """The device's fixes wander off 60 m at a time; the screen starts the mean afresh each time."""
    code = hunt.sites.get().code
    for east_m, words in ((88, f"Near the edge of {code}"), (140, f"Outside {code}. Do not search here")):
        for wobble in (0, 0.2, 0.4, 0.6):
            stand(standing, east_m + wobble, 0)
            standing.wait_for_timeout(150)
        expect(standing.get_by_role("region", name="The ground round you").get_by_text(words)).to_be_visible()
        expect(standing.get_by_role("status").filter(has_text=words)).to_be_attached()


@pytest.mark.parametrize(
    ("viewport", "scheme", "text"),
    [
        ((360, 640), "light", 100),
        ((640, 360), "dark", 100),
        ((360, 640), "light", 200),
        ((1280, 800), "light", 100),
    ],
)
def test_it_fits_every_phone(standing: Page, viewport: tuple[int, int], scheme: Any, text: int) -> None:
    """axe finds nothing and nothing runs over the side, also at 200 % text and in the dark."""
    standing.set_viewport_size({"width": viewport[0], "height": viewport[1]})
    standing.emulate_media(color_scheme=scheme)
    standing.evaluate("(size) => (document.documentElement.style.fontSize = `${size}%`)", text)
    expect(standing.locator("svg.ground")).to_be_visible()
    assert standing.evaluate("document.documentElement.scrollWidth <= innerWidth")
    found = Axe().run(standing)
    assert found.violations_count == 0, found.generate_report()


def test_a_refused_position_says_what_to_do(phone_of: Callable[..., Page], hunt: Hunt, member: User) -> None:
    page = phone_of(member, permissions=[])
    at_the_gate(page, hunt)
    page.get_by_role("link", name="Where I am").click()
    expect(page.get_by_text("This page may not use your position.")).to_be_visible()
