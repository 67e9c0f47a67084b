"""A phone on a hunt: the field page in Chromium with a position, a hunt that runs, and a way to lose the network."""

from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import time
from typing import Any

import pytest
from django.conf import settings
from django.test import Client
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    FilePayload,
    Geolocation,
    Page,
    expect,
)
from shapely.geometry import shape

from hunts.models import Hunt
from people.models import User
from tests import make
from tests.browser.conftest import PATIENCE_MS

SMALL = {"width": 360, "height": 640}
NETWORK = ("Failed to load resource", "net::ERR")
"""What Chromium itself writes to the console when a request fails; everything else is an error of ours."""


def inside(hunt: Hunt, *, accuracy_m: float = 4) -> Geolocation:
    """A fix of the device in the middle of the hunt's first site."""
    middle = shape(hunt.sites.all()[0].boundary).representative_point()
    return {"latitude": middle.y, "longitude": middle.x, "accuracy": accuracy_m}


@pytest.fixture
def hunt(leader: User, member: User) -> Hunt:
    """A hunt that runs all day today, on which `member` holds a place and is signed in."""
    made = make.hunt(leader=leader, state="running", starts_at=time(0), ends_at=time(23, 59))
    make.attendance(made, member)
    return made


def sign_in_as(context: BrowserContext, user: User, url: str) -> None:
    """Put the session of `user` into the browser, or take it out."""
    client = Client()
    client.force_login(user)
    cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
    context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": url}])


@pytest.fixture
def phone_of(chromium: Browser, live_server: Any, hunt: Hunt) -> Iterator[Callable[..., Page]]:
    """`phone_of(user, **context)`: the field page open on a small phone that stands on the hunt's site."""
    contexts: list[BrowserContext] = []
    errors: list[str] = []

    def listen(message: ConsoleMessage) -> None:
        if message.type == "error" and not message.text.startswith(NETWORK):
            errors.append(message.text)

    def phone_of(user: User | None, browser: Browser = chromium, **options: Any) -> Page:
        usual = {
            "viewport": SMALL,
            "base_url": live_server.url,
            "locale": "en-GB",
            "reduced_motion": "reduce",
            "permissions": ["geolocation"],
            "geolocation": inside(hunt),
        }
        context = browser.new_context(**usual | options)
        contexts.append(context)
        if user is not None:
            sign_in_as(context, user, live_server.url)
        context.on("page", lambda page: watch(page))
        return open_page(context)

    def watch(page: Page) -> None:
        page.set_default_timeout(PATIENCE_MS)
        page.on("console", listen)
        page.on("pageerror", lambda error: errors.append(str(error)))

    yield phone_of
    for context in contexts:
        with suppress(Exception):
            context.close()
    assert errors == []


def open_page(context: BrowserContext) -> Page:
    page = context.new_page()
    page.goto("/field/")
    return page


def at_the_gate(page: Page, hunt: Hunt) -> Page:
    """Wait until the hunt and the page itself are stored on the phone."""
    expect(page.get_by_text(hunt.code)).to_be_visible()
    expect(page.get_by_role("link", name="Hole", exact=True)).to_be_visible()
    assert page.evaluate("navigator.serviceWorker.ready.then((it) => Boolean(it.active))")
    return page


def state(page: Page, words: str, **options: Any) -> None:
    """The line at the top says so."""
    expect(page.locator("[data-state]")).to_have_text(words, **options)


def until(true: Callable[[], bool], page: Page) -> None:
    """Wait for what the server has to become so."""
    for _ in range(PATIENCE_MS // 100):
        if true():
            return
        page.wait_for_timeout(100)
    raise AssertionError("it did not become so in time")


def log_hole(
    page: Page, *, outcome: str = "Scrap, taken away", filled: bool = True, photo: Any = None
) -> None:
    """A hole as a thumb enters it, from the first screen: six taps and no typing (a photograph is more)."""
    page.get_by_role("link", name="Hole", exact=True).click()
    page.get_by_label(outcome).check()
    page.get_by_role("button", name="Depth: 5 more").click()
    page.get_by_role("button", name="Depth: 5 more").click()
    page.get_by_role("button", name="Target ID: 1 more").click()
    if photo is not None:
        page.get_by_text("Photographs, notes").click()
        page.get_by_label("Before digging").set_input_files(photo)
    page.get_by_role("button", name="Save: hole is filled" if filled else "Save: still open").click()
    expect(page.get_by_text("Kept on this phone.", exact=True)).to_be_visible()


def picture(name: str = "before.jpg") -> FilePayload:
    return {"name": name, "mimeType": "image/jpeg", "buffer": make.photo_bytes()}
