"""A phone in a storm: the page of a server process that is killed, cut off, doubled and misled, as a seed has it."""

import base64
import hashlib
import re
from collections.abc import Callable, Iterator
from contextlib import ExitStack, suppress
from typing import Any

import pytest
from django.conf import settings
from playwright.sync_api import Browser, Error, Page, Route

from tests.browser.field_phone import NETWORK, SMALL
from tests.browser.server_process import ServerProcess
from tests.browser.storm_scripts import CLOCK, EDIT, MAKE, PACK, PICTURE, REPLAY, STANDING, TRY_AGAIN

DAY_MS = 86_400_000
SETTLES_WITHIN_MS = 60_000


@pytest.fixture
def server_of(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[..., ServerProcess]]:
    """`server_of(ahead_s=…)`: a server that runs, with a world of its own; it ends with the test."""
    with ExitStack() as stack:

        def server_of(**options: Any) -> ServerProcess:
            server = ServerProcess(tmp_path_factory.mktemp("server"), **options)
            stack.callback(server.kill)
            server.start()
            return server

        yield server_of


class StormPhone:
    """One phone of the one account; `broken` is what its network does to a request that reaches it."""

    def __init__(
        self, browser: Browser, server: ServerProcess, session: str, *, ahead_ms: int = 0, **options: Any
    ) -> None:
        self.server, self.session = server, session
        self.spot = {"latitude": server.world["lat"], "longitude": server.world["lon"], "accuracy": 4}
        usual: dict[str, Any] = {
            "viewport": SMALL,
            "base_url": server.url,
            "locale": "en-GB",
            "timezone_id": "Europe/London",
            "permissions": ["geolocation"],
            "geolocation": self.spot,
        }
        self.context = browser.new_context(**usual | options)
        self.context.add_init_script(CLOCK.replace("AHEAD", str(ahead_ms)))
        self.errors: list[str] = []
        self.broken: Callable[[Route], None] | None = None
        self.context.route(re.compile(r"/field/(me|hunts|records|photos)/"), self._on_request)
        self.sign_in()
        self.open()
        self.page.wait_for_selector("nav.four")  # the hunt is stored on the phone
        assert self.ask("navigator.serviceWorker.ready.then((it) => Boolean(it.active))")

    def sign_in(self) -> None:
        cookie = {"name": settings.SESSION_COOKIE_NAME, "value": self.session, "url": self.server.url}
        self.context.add_cookies([cookie])  # type: ignore[list-item]

    def open(self) -> None:
        self.page: Page = self.context.new_page()
        self.page.set_default_timeout(20_000)
        self.page.on("pageerror", lambda error: self.errors.append(str(error)))
        self.page.on("console", self._listen)
        self.reload(first=True)

    def _listen(self, message: Any) -> None:
        if message.type == "error" and not message.text.startswith(NETWORK):
            self.errors.append(message.text)

    def reload(self, *, first: bool = False) -> None:
        """Load the page afresh; a newer worker may do so too at the same moment."""
        for _ in range(3):
            try:
                if first:
                    self.page.goto("/field/", wait_until="commit")
                else:
                    self.page.reload(wait_until="commit")
                break
            except Error as error:
                if "ERR_ABORTED" not in str(error) and "interrupted" not in str(error):
                    raise
        self.page.wait_for_selector("main > h1")
        self.page.wait_for_load_state()

    def _on_request(self, route: Route) -> None:
        with suppress(Error):  # the page was closed, or the server killed, while this was under way
            if self.broken is None:
                route.continue_()
                return
            try:
                self.broken(route)
            except Error:
                route.abort("connectionreset")

    def ask(self, script: str, given: Any = None) -> Any:
        """Run a script in the page; once more where a newer worker loaded the page afresh meanwhile."""
        for _ in range(5):
            try:
                return self.page.evaluate(script, given)
            except Error as error:
                if "context was destroyed" not in str(error) and "navigat" not in str(error):
                    raise
                self.page.wait_for_load_state()
        raise AssertionError("the page never came to rest")

    def wait(self, ms: float) -> None:
        self.page.wait_for_timeout(ms)

    def set_clock(self, ms: int) -> None:
        """The phone's own clock is set while the page is closed, and the page opened again."""
        self.ask("ms => localStorage.setItem('test-skew-next', ms)", ms)
        self.reload()

    def has_pack(self) -> bool:
        return bool(self.ask(PACK))

    def standing(self) -> dict[str, Any]:
        """What the phone says: {records: {key: state}, why, waits, envelopes, sending}."""
        return self.ask(STANDING)  # type: ignore[no-any-return]

    def settle(self) -> dict[str, Any]:
        """Ask to send until nothing waits any more."""
        for _ in range(SETTLES_WITHIN_MS // 100):
            said = self.ask(STANDING, True)
            if not said["waits"] and not said["sending"]:
                return said  # type: ignore[no-any-return]
            self.wait(100)
        raise AssertionError(f"still waiting: {said['waits']}")

    def try_again(self) -> None:
        """Press the button of everything that needs attention."""
        self.ask(TRY_AGAIN)

    def make(self, row: dict[str, Any]) -> None:
        self.ask(MAKE, row)

    def edit(self, key: str, fields: dict[str, Any]) -> None:
        self.ask(EDIT, [key, fields])

    def add_picture(self, data: bytes, of: str, owner: str) -> str:
        """Put a photograph to a record; returns its digest, which is its name on the phone too."""
        digest = hashlib.sha256(data).hexdigest()
        told = {
            "name": f"{digest[:20]}.jpg",
            "of": of,
            "owner": owner,
            "data": base64.b64encode(data).decode(),
        }
        self.ask(PICTURE, told)
        return digest

    def envelopes(self) -> list[Any]:
        return self.ask(STANDING)["envelopes"]  # type: ignore[no-any-return]

    def replay(self, envelopes: list[Any]) -> None:
        """Send all of it once more, twice at the same moment."""
        self.ask(REPLAY, envelopes[-50:])
