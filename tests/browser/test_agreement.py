"""Agreement sent, signed on a phone by link, the gate turns open; withdrawn, the gate shuts and the hunt shows it."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from people.models import User
from permissions.links import key_of
from permissions.models import LandholderLink, Permission, Site
from permissions.states import State
from reports.models import Signature
from tests import make
from tests.browser.conftest import DESK, PHONE, Opener
from tests.browser.forms import fill, follow, press, says, unfold


@pytest.fixture
def site(secretary: User) -> Site:
    make.club()
    return make.site(owner=make.landholder(name="Ada Warp"), by=secretary, name="Long Lands")


@pytest.fixture
def permission(site: Site) -> Permission:
    return make.permission(site, consents=False, state=State.DRAFT, title="Saltmere stubble")


def send(page: Page, permission: Permission) -> str:
    """The secretary sends the agreement and reads off the address to hand over."""
    page.goto(f"/land/permissions/{permission.pk}/")
    follow(page, "Agreement and signatures")
    page.locator("main").get_by_role("button", name=re.compile("^Send A-")).click()
    says(page, "No e-mail is known for Ada Warp")
    unfold(page, "Address to hand over")
    return page.get_by_label("Address", exact=True).input_value()


def sign(page: Page, address: str) -> None:
    page.goto(address)
    says(page, "20. Signatures")
    fill(page, name="Ada Warp", agree=True)
    press(page, "Sign the agreement")
    says(page, "Thank you. Your signature is kept")


def gate_is(page: Page, hunt: Any, word: str) -> None:
    page.goto(f"/hunts/{hunt.pk}/")
    expect(page.get_by_role("heading", name=re.compile("^The gate:"))).to_have_text(f"The gate: {word}")


def withdraw(page: Page, site: Site, by: User) -> None:
    landholder = site.parties.all()[0].landholder
    link = LandholderLink.objects.create(
        landholder=landholder, made_at=make.now(), made_by=by, expires_at=make.now() + make.timedelta(9)
    )
    page.goto(f"/l/{key_of(link)}/")
    unfold(page, "Withdraw my consent to Saltmere stubble")
    page.locator("main").get_by_label("Why, if you want to say").fill("Ewes in the field")
    press(page, "Withdraw my consent to Saltmere stubble")
    says(page, "Your consent is withdrawn from now")


@pytest.mark.parametrize("javascript", [True, False], ids=["with JavaScript", "without"])
def test_signed_on_a_phone_the_gate_opens_and_withdrawn_it_shuts(
    page_of: Opener, secretary: User, site: Site, permission: Permission, javascript: bool
) -> None:
    hunt = make.hunt(site, permission_=permission, on=make.days(6), state="planned")
    desk = page_of(secretary, viewport=DESK, java_script_enabled=javascript)
    gate_is(desk, hunt, "shut")
    phone = page_of(None, viewport=PHONE, java_script_enabled=javascript, has_touch=True)
    sign(phone, send(desk, permission))
    gate_is(desk, hunt, "open")
    withdraw(phone, site, secretary)
    gate_is(desk, hunt, "shut")
    says(desk, "withdrew consent")


def test_a_signature_is_drawn_with_a_finger_and_cleared(
    page_of: Opener, secretary: User, permission: Permission
) -> None:
    desk = page_of(secretary, viewport=DESK)
    address = send(desk, permission)
    phone = page_of(None, viewport=PHONE)
    phone.goto(address)
    board = phone.locator("[data-sign-board] canvas")
    board.scroll_into_view_if_needed()
    box = board.bounding_box()
    assert box is not None
    phone.mouse.move(box["x"] + 30, box["y"] + 40)
    phone.mouse.down()
    phone.mouse.move(box["x"] + 120, box["y"] + 60, steps=4)
    phone.mouse.up()
    assert phone.locator("[data-sign-strokes]").input_value().startswith("[[[")
    phone.get_by_role("button", name="Clear the drawing").click()
    assert phone.locator("[data-sign-strokes]").input_value() == ""
    phone.mouse.move(box["x"] + 30, box["y"] + 40)
    phone.mouse.down()
    phone.mouse.move(box["x"] + 90, box["y"] + 60, steps=3)
    phone.mouse.up()
    fill(phone, name="Ada Warp", agree=True)
    press(phone, "Sign the agreement")
    expect(phone.get_by_role("img", name="Signature drawn by Ada Warp")).to_be_visible()
    assert len(Signature.objects.get().drawn) == 1


def test_the_signers_page_fits_a_phone_and_passes_axe(
    page_of: Opener, secretary: User, permission: Permission, faults: Callable[[Page], list[str]]
) -> None:
    desk = page_of(secretary, viewport=DESK)
    address = send(desk, permission)
    assert faults(desk) == []
    phone = page_of(None, viewport=PHONE)
    phone.goto(address)
    assert faults(phone) == []
    sign(phone, address)
    assert faults(phone) == []
