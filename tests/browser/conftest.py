"""A Chromium for the browser tests: the machine's own, headless, signed in as one of the cast.

Without one each test is skipped and says so; STUBBLE_CHROMIUM names the program, and with
STUBBLE_REQUIRE_BROWSER=1 its absence is an error.
"""

import os
import shutil
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.core.handlers.wsgi import WSGIHandler
from django.test import Client
from playwright.sync_api import Browser, ConsoleMessage, Page, expect, sync_playwright

from people.models import User
from tests import make
from tests.browser.axe import WCAG, violations

# Playwright's synchronous interface runs an event loop, in which Django otherwise refuses the database.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

# The shell is Chromium without its windows: the same pages at half of the work.
PROGRAMS = (
    "chromium-headless-shell",
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
)
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PHONE = {"width": 360, "height": 740}
DESK = {"width": 1280, "height": 900}
PATIENCE_MS = 20_000
expect.set_options(timeout=PATIENCE_MS)  # else 5 s, which a busy machine takes for nothing
HERE = Path(__file__).parent
BUNDLE = Path(__file__).resolve().parents[2] / "static" / "dist" / "map.js"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Everything in this folder needs a Chromium and a database that the server's threads see."""
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.browser)
            # A starved browser now and then misses a condition: it gets one more try, and the summary says so.
            item.add_marker(pytest.mark.flaky(reruns=1))
            item.add_marker(pytest.mark.once)  # the matrix opens the same pages on both databases
            item.add_marker(pytest.mark.django_db(transaction=True))


@pytest.fixture(autouse=True)
def _answered(monkeypatch: pytest.MonkeyPatch, transactional_db: None) -> Iterator[None]:
    """No request of a closed page goes on while the tables are emptied, or writes into them afterwards."""
    plain, turn, under_way, is_over = WSGIHandler.__call__, threading.Condition(), [0], [False]

    def counted(self: WSGIHandler, environ: Any, start_response: Any) -> Any:
        with turn:
            if is_over[0]:
                start_response("503 Service Unavailable", [])
                return [b""]
            under_way[0] += 1
        try:
            return plain(self, environ, start_response)
        finally:
            with turn:
                under_way[0] -= 1
                turn.notify()

    monkeypatch.setattr(WSGIHandler, "__call__", counted)
    yield
    with turn:
        is_over[0] = True
        assert turn.wait_for(lambda: under_way[0] == 0, timeout=60)


Files = dict[str, tuple[str, list[tuple[str, str]], bytes]]


@pytest.fixture(scope="session")
def _static_files() -> Files:
    """What the server answered for a static file, by its path."""
    return {}


@pytest.fixture(autouse=True)
def _from_memory(monkeypatch: pytest.MonkeyPatch, _static_files: Files, _answered: None) -> None:
    """The field page alone is a hundred files each time: the server says again what it said of each the first time."""
    plain = WSGIHandler.__call__

    def serve(self: WSGIHandler, environ: Any, start_response: Any) -> Any:
        path = environ["PATH_INFO"]
        if environ["REQUEST_METHOD"] != "GET" or not path.startswith(settings.STATIC_URL):
            return plain(self, environ, start_response)
        if path not in _static_files:
            said: list[Any] = []
            asked = {key: value for key, value in environ.items() if not key.startswith("HTTP_IF_")}
            body = plain(self, asked, lambda *words: said.extend(words))
            _static_files[path] = (said[0], said[1], b"".join(body))
            body.close()
        status, headers, whole = _static_files[path]
        start_response(status, headers)
        return [whole]

    monkeypatch.setattr(WSGIHandler, "__call__", serve)


@pytest.fixture(scope="session")
def launch() -> Iterator[Callable[..., Browser]]:
    """`launch(*flags)` starts the machine's Chromium; it ends with the session."""
    program = os.environ.get("STUBBLE_CHROMIUM") or next(filter(None, map(shutil.which, PROGRAMS)), None)
    if program is None:
        words = (
            f"BROWSER TESTS NOT RUN: none of {', '.join(PROGRAMS)} is on PATH. Install Chromium, or set "
            "STUBBLE_CHROMIUM to its program."
        )
        pytest.fail(words) if os.environ.get("STUBBLE_REQUIRE_BROWSER") == "1" else pytest.skip(words)
    assert BUNDLE.exists(), "The map is not bundled: run python3 dev.py test, or npm ci and npm run build."
    started: list[Browser] = []
    with sync_playwright() as playwright:

        def launch(*flags: str) -> Browser:
            browser = playwright.chromium.launch(executable_path=program, args=[*FLAGS, *flags])
            started.append(browser)
            return browser

        yield launch
        for browser in started:
            browser.close()


@pytest.fixture(scope="session")
def chromium(launch: Callable[..., Browser]) -> Browser:
    return launch()


@pytest.fixture
def page_of(chromium: Browser, live_server: Any) -> Iterator[Callable[..., Page]]:
    """`page_of(user, **context)` opens a phone-sized page signed in as `user` (None: nobody), in Chromium or `browser`.

    At the end the test fails if a page wrote an error to the console, so the content security policy is tested too.
    """
    contexts, errors = [], []

    def listen(message: ConsoleMessage) -> None:
        # A closed link answers 410, and Chromium writes that down as an error.
        if message.type == "error" and "status of 410" not in message.text:
            errors.append(message.text)

    def page_of(user: User | None, browser: Browser = chromium, **options: Any) -> Page:
        usual = {
            "viewport": PHONE,
            "base_url": live_server.url,
            "locale": "en-GB",
            "reduced_motion": "reduce",
        }
        context = browser.new_context(**usual | options)
        contexts.append(context)
        if user is not None:
            client = Client()
            client.force_login(user)
            cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
            context.add_cookies(
                [{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}]
            )
        page = context.new_page()
        page.set_default_timeout(PATIENCE_MS)
        page.on("console", listen)
        page.on("pageerror", lambda error: errors.append(str(error)))
        return page

    yield page_of
    for context in contexts:
        context.close()
    assert errors == []


Opener = Callable[..., Page]


@pytest.fixture(scope="session")
def faults() -> Callable[[Page], list[str]]:
    """`faults(page)`: what axe-core finds against WCAG 2.2 A and AA, and a page wider than its window."""

    def faults(page: Page) -> list[str]:
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        too_wide = [f"the page is {wide} px wider than its window"] if wide > 0 else []
        return violations(page, WCAG) + too_wide

    return faults


def sign_in(page: Page, user: User) -> Page:
    """Sign in through the form, as a person does."""
    page.goto("/club/sign-in/")
    page.get_by_label("E-mail").fill(user.email)
    page.get_by_label("Password").fill(make.PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")
    return page
