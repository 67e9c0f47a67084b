"""Plan the ground, take the lanes along, give the track, read what was covered: in a real browser."""

import re
from pathlib import Path
from typing import Any

import pytest
from django.utils.timezone import now
from playwright.sync_api import Page, expect

from geo.gpx import read_gpx
from hunts.models import Hunt
from people.models import User
from tests import ground, make
from tests.browser.conftest import DESK, PHONE, Opener
from tests.browser.forms import fill, follow, press, says


def running(leader: User, *people: User) -> Hunt:
    make.club()
    hunt = make.hunt(
        make.site(code="RV07", name="Long Butts"), leader=leader, state="running", started_at=now()
    )
    make.sign_up(hunt, leader)
    for person in people:
        make.attendance(hunt, person)
    return hunt


def legend(page: Page) -> str:
    """What the map really shows, in words."""
    expect(page.locator("[data-map=view][data-ready]")).to_be_visible()
    return page.locator("[data-map-legend]").inner_text()


def plan_and_take_lanes(page: Page, hunt: Hunt) -> None:
    page.goto(f"/hunts/{hunt.pk}/")
    follow(page, "Ground plan")
    fill(page, **ground.PLAN | {"coil_cm": "0"})
    press(page, "Keep the plan")
    says(page, "give 3 to 120 cm")
    fill(page, coil_cm="28")
    press(page, "Keep the plan")
    says(page, "The plan is kept.")
    says(page, "of these 4.0 ha")
    follow(page, "Lanes")
    says(page, "20 lanes 10.0 m apart")


def download(page: Page, name: str) -> Any:
    with page.expect_download() as waiting:
        follow(page, name)
    return read_gpx(Path(waiting.value.path()).read_bytes())


def give_track(page: Page, hunt: Hunt, y: float) -> None:
    data = ground.gpx_bytes(ground.serpentine(y=y), start=ground.morning(hunt))
    page.goto(f"/hunts/{hunt.pk}/")
    follow(page, "Add a track")
    fill(page, file={"name": "walk.gpx", "mimeType": "application/gpx+xml", "buffer": data})
    press(page, "Add the track")
    says(page, "The track is kept.")


def test_from_the_plan_to_the_gaps(page_of: Opener, leader: User, member: User, faults: Any) -> None:
    hunt = running(leader, member)
    desk, phone = page_of(leader, viewport=DESK), page_of(member, viewport=PHONE)
    plan_and_take_lanes(desk, hunt)
    assert "Lane" in legend(desk)
    assert faults(desk) == []
    assert len(download(desk, "All lanes (GPX)").routes) == 20
    follow(desk, "Sheets to print")
    expect(desk.get_by_role("heading", name="Mo Samphire: lanes")).to_be_visible()
    assert faults(desk) == []
    phone.goto(f"/hunts/{hunt.pk}/lanes/")
    assert len(download(phone, "My lanes for the receiver (GPX)").routes) == 11
    give_track(phone, hunt, y=-80)
    assert re.search(r"Ground covered[\s\S]*Track walked", legend(phone))
    assert faults(phone) == []
    desk.goto(f"/hunts/{hunt.pk}/covered/")
    says(desk, "Where to go next")
    assert "Gap: not searched yet" in legend(desk)
    assert faults(desk) == []
    follow(desk, "RV07 Long Butts")
    says(desk, "All hunts so far")
    assert "Ground covered" in legend(desk)
    assert faults(desk) == []


def test_the_same_without_javascript(page_of: Opener, leader: User, member: User) -> None:
    hunt = running(leader, member)
    desk = page_of(leader, viewport=DESK, java_script_enabled=False)
    plan_and_take_lanes(desk, hunt)
    assert len(download(desk, "My lanes for the receiver (GPX)").routes) > 1
    give_track(desk, hunt, y=20)
    desk.get_by_text("Picture of RV07").click()
    picture = desk.locator(".map-print img").first
    expect(picture).to_be_visible()
    assert picture.evaluate("node => node.naturalWidth") > 100


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_sheets_print_one_to_a_page(page_of: Opener, leader: User, member: User, size: Any) -> None:
    hunt = running(leader, member)
    page = page_of(leader, viewport=size)
    page.goto(f"/hunts/{hunt.pk}/lanes/sheets/")
    page.emulate_media(media="print")
    breaks = page.locator("section.report").evaluate_all(
        "all => all.map(e => getComputedStyle(e).breakBefore)"
    )
    assert breaks == ["auto", "page"]
