"""The faults of a day: each breaks something now, and `heal` puts everything right again."""

from collections.abc import Callable
from contextlib import suppress
from random import Random

from playwright.sync_api import Error, Route, expect

from tests.browser.field_storm import DAY_MS, StormPhone
from tests.browser.server_process import ServerProcess
from tests.browser.storm_records import Recorder

Fault = Callable[["Storm", StormPhone], None]


class Storm:
    """A server, two phones of one account, and a seed."""

    def __init__(
        self, server: ServerProcess, phones: list[StormPhone], recorder: Recorder, rng: Random
    ) -> None:
        self.server, self.phones, self.recorder, self.rng = server, phones, recorder, rng
        self.played: list[str] = []

    def play(self, name: str, phone: StormPhone) -> None:
        self.played.append(name)
        FAULTS[name](self, phone)

    def heal(self, *, hunt: bool = True) -> None:
        """Everything is right again, the hunt only if asked for; both phones are opened and have sent all they can."""
        if self.server.process is None:
            self.server.start()
        if hunt:
            self.server.set_hunt("running")
        for phone in self.phones:
            phone.broken = None
            phone.context.set_offline(False)
            phone.context.grant_permissions(["geolocation"])
            phone.sign_in()
            if FRESH & set(self.played) or self.rng.random() < 0.15:
                phone.set_clock(0)
        for phone in self.phones:
            if hunt and phone.settle()["why"]:
                phone.try_again()
            phone.settle()


def offline(storm: Storm, phone: StormPhone) -> None:
    phone.context.set_offline(True)


def mid_upload(storm: Storm, phone: StormPhone) -> None:
    """The network goes away after the first part or two of a photograph, and stays away."""
    storm.recorder.photo(phone)
    parts, left = [], storm.rng.randint(1, 2)

    def cut(route: Route) -> None:
        if route.request.method == "PATCH":
            parts.append(route)
        if len(parts) >= left:
            route.abort("internetdisconnected")
        else:
            route.continue_()

    phone.broken = cut
    phone.wait(300)


def kill_workers(storm: Storm, phone: StormPhone) -> None:
    storm.server.kill_workers()


def kill(storm: Storm, phone: StormPhone) -> None:
    storm.server.kill()
    if storm.rng.random() < 0.5:
        storm.recorder.some(phone)
    storm.server.start()


def killed_under_a_request(storm: Storm, phone: StormPhone) -> None:
    """`kill -9` a few milliseconds after the request left, wherever the server has got to by then."""
    wait_ms = storm.rng.choice((0, 5, 15, 40, 80))

    def strike(route: Route) -> None:
        phone.broken = None
        route.continue_()
        phone.wait(wait_ms)
        storm.server.kill_workers()

    phone.broken = strike
    storm.recorder.some(phone)
    phone.wait(300)


def lost_answer(storm: Storm, phone: StormPhone) -> None:
    """The server has it and answered; the answer never comes."""

    def lose(route: Route) -> None:
        route.fetch()
        route.abort("connectionreset")

    phone.broken = lose
    storm.recorder.some(phone)
    phone.wait(200)


def doubled(storm: Storm, phone: StormPhone) -> None:
    """Everything goes out twice, and the second answer is the one that comes."""

    def twice(route: Route) -> None:
        route.fetch()
        route.fulfill(response=route.fetch())

    phone.broken = twice


def replayed(storm: Storm, phone: StormPhone) -> None:
    """All that one phone has is sent again by the other, twice at once."""
    other = next(each for each in storm.phones if each is not phone)
    with suppress(Error):
        other.replay(phone.envelopes())


def other_phone(storm: Storm, phone: StormPhone) -> None:
    other = next(each for each in storm.phones if each is not phone)
    for _ in range(2):
        storm.recorder.some(other)


def clock(storm: Storm, phone: StormPhone) -> None:
    """A day ahead or behind, noticed only when the page is opened again."""
    phone.set_clock(storm.rng.choice((-DAY_MS, DAY_MS)))


def denied(storm: Storm, phone: StormPhone) -> None:
    """A hole entered on the screen where the position may not be used: with a reference typed instead."""
    phone.context.clear_permissions()
    phone.reload()
    if not phone.has_pack():
        return
    page, before = phone.page, set(phone.standing()["records"])
    page.evaluate("location.hash = '#/hole'")
    expect(page.get_by_text("This page may not use your position")).to_be_visible()
    page.get_by_text("No position, or a wrong one?").click()
    page.get_by_label("Or where").fill("53.6009, 0.1515")
    page.get_by_label("Nothing recovered").check()
    page.get_by_role("button", name="Depth: 5 more").click()
    page.get_by_text("Photographs, notes").click()
    token = f"typed {storm.rng.getrandbits(60)}"
    page.get_by_label("Notes").fill(token)
    page.get_by_role("button", name="Save: hole is filled").click()
    while not (new := set(phone.standing()["records"]) - before):
        phone.wait(50)
    (key,) = new
    storm.recorder.made.records[key] = ("hole", token)


def closed_page(storm: Storm, phone: StormPhone) -> None:
    phone.page.close()
    phone.open()


def newer_version(storm: Storm, phone: StormPhone) -> None:
    """The club's server is upgraded: the phones go on with an older worker until they notice."""
    with (storm.server.static / "js" / "field" / "main.js").open("a") as main:
        main.write(f"// version {storm.rng.getrandbits(60)}\n")
    storm.server.kill_workers()


def signed_out(storm: Storm, phone: StormPhone) -> None:
    phone.context.clear_cookies()


def hunt_closed(storm: Storm, phone: StormPhone) -> None:
    storm.server.set_hunt("closed")


FAULTS: dict[str, Fault] = {
    "offline": offline,
    "offline in the middle of an upload": mid_upload,
    "kill -9 of the workers": kill_workers,
    "kill -9 under a request": killed_under_a_request,
    "kill -9 of all of it": kill,
    "answer lost after commit": lost_answer,
    "sent twice": doubled,
    "sent again by the other phone": replayed,
    "two phones": other_phone,
    "clock a day out": clock,
    "position denied": denied,
    "page closed": closed_page,
    "older worker": newer_version,
    "signed out meanwhile": signed_out,
    "hunt closed meanwhile": hunt_closed,
}
FRESH = {
    "clock a day out",
    "position denied",
    "older worker",
    "signed out meanwhile",
    "hunt closed meanwhile",
}
"""After these somebody opens the page again; after the others it goes on by itself."""
RARE = "kill -9 of all of it"
"""It takes seconds to start again, so it comes in one run of twenty."""


def chosen(rng: Random) -> list[str]:
    usual = [name for name in FAULTS if name != RARE]
    names = rng.sample(usual, rng.randint(1, 3))
    return [*names, RARE] if rng.random() < 0.05 else names


def run(storm: Storm) -> list[str]:
    """One run: a few records, a few faults among them in any order, and everything right again at the end."""
    rng, phone = storm.rng, storm.rng.choice(storm.phones)
    steps: list[str | None] = [None] * rng.randint(3, 5) + chosen(rng)
    rng.shuffle(steps)
    for name in steps:
        storm.recorder.some(phone) if name is None else storm.play(name, phone)
        phone.wait(rng.choice((0, 10, 40, 120)))
    return [name or "record" for name in steps]
