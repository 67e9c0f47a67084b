"""Take the pictures of the README's tour from a running demo club: small, of one size for desks and one for phones.

    .venv/bin/python -m tools.tour http://127.0.0.1:8000 docs/tour

`make tour` starts a demo, runs this and ends the demo. None of these pages shows a locked findspot to anybody: lists,
patterns and the ground covered never do, and the committee, who could see one elsewhere, is shown a list.
"""

import argparse
import io
import os
from dataclasses import dataclass
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, Error, Page

from tools.shots import DEMO, Shot, a_browser, open_shot, sign_in

DESK, PHONE = (1280, 800), (360, 740)
PRIVATE = "input[id^=link-]"
MOST_BYTES = 60_000
TRIES = 240
QUALITIES = (86, 80, 72, 64, 55, 45, 35)
PASSWORD = "low-water-springs"  # noqa: S105 - the demo's, used nowhere else
"""Of the demo's invented people; `make demo` prints it."""


@dataclass(frozen=True)
class Stop:
    """One picture: its page, its size, what to follow from that page, and the part to scroll to, if any."""

    shot: Shot
    size: tuple[int, int] = DESK
    then: str = ""
    scroll: str = ""


TOUR = (
    Stop(Shot("today", "/", "secretary")),
    Stop(Shot("land", "/land/", "secretary")),
    Stop(Shot("site", "/land/>table.stack a", "secretary")),
    Stop(Shot("hunt", "/hunts/?when=past>table.stack a", "leader"), PHONE),
    Stop(
        Shot("coverage", "/land/>table.stack a:text('Drift Piece')", "secretary"),
        then="main a[href*='/covered/']",
    ),
    Stop(Shot("patterns", "/finds/patterns/", "secretary"), scroll="svg"),
    Stop(Shot("heritage", "/heritage/", "committee")),
    Stop(Shot("landholder", "/land/landholders/", "secretary"), PHONE, then=PRIVATE),
)


def squeeze(png: bytes) -> bytes:
    """The picture as WebP of at most MOST_BYTES. Raises SystemExit when none of the qualities is small enough."""
    picture = Image.open(io.BytesIO(png)).convert("RGB")
    for quality in QUALITIES:
        out = io.BytesIO()
        picture.save(out, "WEBP", quality=quality, method=6)
        if out.tell() <= MOST_BYTES:
            return out.getvalue()
    raise SystemExit(f"A picture stays above {MOST_BYTES} bytes; choose a plainer page for it.")


def go(page: Page, base: str, stop: Stop) -> None:
    """Open the page of a stop, and from there its `then`: a link of the page, or the first private address in it."""
    open_shot(page, base, stop.shot)
    if stop.then == PRIVATE:
        addresses = page.locator("main table.stack a").evaluate_all("links => links.map(link => link.href)")
        for address in addresses:
            page.goto(address)
            if page.locator(PRIVATE).count():
                break
        page.goto(page.locator(PRIVATE).first.input_value())
    elif stop.then:
        page.goto(base + (page.locator(stop.then).first.get_attribute("href") or ""))


def take(page: Page, base: str, stop: Stop, folder: Path) -> None:
    width, height = stop.size
    page.set_viewport_size({"width": width, "height": height})
    go(page, base, stop)
    maps = page.locator("[data-map]:not([data-ready=yes])")
    for _ in range(maps.count()):
        maps.first.wait_for(state="detached", timeout=20_000)
    if stop.scroll:
        page.locator(f"main {stop.scroll}").first.scroll_into_view_if_needed()
    page.wait_for_load_state("networkidle")
    (folder / f"{stop.shot.name}.webp").write_bytes(squeeze(page.screenshot()))
    print(stop.shot.name, flush=True)


def wait_for(page: Page, base: str) -> None:
    """Until the server answers: it may have been started a moment ago."""
    for _ in range(TRIES):
        try:
            page.goto(f"{base}/health/")
            return
        except Error:
            page.wait_for_timeout(250)
    raise SystemExit(f"Nothing answers at {base}; start the demo there.")


def take_all(browser: Browser, base: str, folder: Path) -> None:
    password = os.environ.get("STUBBLE_DEMO_PASSWORD", PASSWORD)
    for who in dict.fromkeys(stop.shot.who for stop in TOUR):
        context = browser.new_context(locale="en-GB", reduced_motion="reduce", color_scheme="light")
        page = context.new_page()
        wait_for(page, base)
        sign_in(page, base, f"{who}@{DEMO}", password)
        for stop in (each for each in TOUR if each.shot.who == who):
            take(page, base, stop, folder)
        context.close()


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("base", help="where the demo runs, such as http://127.0.0.1:8000")
    parser.add_argument("folder", type=Path, help="where the pictures go")
    given = parser.parse_args()
    given.folder.mkdir(parents=True, exist_ok=True)
    with a_browser() as browser:
        take_all(browser, given.base.rstrip("/"), given.folder)


if __name__ == "__main__":
    main()
