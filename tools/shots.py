"""Take pictures of pages of a running site, to be looked at: wide and narrow, in daylight and dark, and printed.

    STUBBLE_DEMO_PASSWORD=... .venv/bin/python -m tools.shots http://127.0.0.1:8000 FOLDER
    ... --page emergency=/hunts/12/emergency-card/@leader --login leader=len@club.example

Without --page the usual list is taken with the log-ins of the demo, whose password `make demo` prints. Files are
named PAGE-WIDTH-SCHEME.png and PAGE-print.pdf. A path followed by `>` and a CSS selector follows that link
first: `/hunts/>table.stack a` is the first hunt of the list.
"""

import argparse
import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from playwright.sync_api import Browser, Page, sync_playwright

PROGRAMS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-sync",
    "--lang=en-GB",
]
DEMO = "ravensand.example"
WIDTHS = {360: 740, 1280: 900}
SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")

LOADED = "() => Promise.all([...document.images].map(i => { i.loading = 'eager'; return i.decode().catch(() => 0) }))"


@dataclass(frozen=True)
class Shot:
    """One page: the name of its files, the path (with a link to follow after `>`), and who looks."""

    name: str
    path: str
    who: str


USUAL = [
    Shot("sign-in", "/club/sign-in/", ""),
    Shot("today-secretary", "/", "secretary"),
    Shot("today-member", "/", "member"),
    Shot("land", "/land/", "secretary"),
    Shot("site", "/land/>table.stack a", "secretary"),
    Shot("site-add", "/land/sites/add/", "secretary"),
    Shot("gate", "/land/gate/", "secretary"),
    Shot("permission", "/land/permissions/>table.stack a", "secretary"),
    Shot("landholder-kept", "/land/landholders/>table.stack a", "secretary"),
    Shot("hunts", "/hunts/", "member"),
    Shot("hunt", "/hunts/?when=past>table.stack a", "leader"),
    Shot("drills", "/hunts/drills/", "member"),
    Shot("finds", "/finds/", "member"),
    Shot("find", "/finds/>table.stack a", "committee"),
    Shot("heritage", "/heritage/", "committee"),
    Shot("case", "/heritage/>table.stack a", "committee"),
    Shot("reports", "/reports/", "secretary"),
    Shot("report", "/reports/>table.stack a", "secretary"),
    Shot("answers", "/answers/", "secretary"),
    Shot("club", "/club/", "secretary"),
]


def read_shot(text: str) -> Shot:
    """`name=path@who` as a Shot; without `@who` nobody is signed in."""
    name, _, rest = text.partition("=")
    path, _, who = rest.rpartition("@") if "@" in rest else (rest, "", "")
    if not name or not path.startswith("/"):
        raise argparse.ArgumentTypeError(
            f"{text!r} is no page; give name=/path/@who, as in land=/land/@secretary."
        )
    return Shot(name, path, who)


def read_login(text: str) -> tuple[str, str]:
    """`who=e-mail` as a pair."""
    who, _, email = text.partition("=")
    if not who or "@" not in email:
        raise argparse.ArgumentTypeError(
            f"{text!r} is no log-in; give who=e-mail, as in leader=len@club.example."
        )
    return who, email


def sign_in(page: Page, base: str, email: str, password: str) -> None:
    page.goto(f"{base}/club/sign-in/")
    page.get_by_label("E-mail").fill(email)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Sign in").click()
    if page.url.rstrip("/").endswith("sign-in"):
        raise SystemExit(f"{email} could not sign in at {base}; check STUBBLE_DEMO_PASSWORD.")


def open_shot(page: Page, base: str, shot: Shot) -> str:
    """Open the page and return its address."""
    path, _, link = shot.path.partition(">")
    page.goto(base + path)
    if link:
        target = page.locator(f"main {link}").first.get_attribute("href") or path
        page.goto(target if "://" in target else base + target)
    return page.url


def take(page: Page, base: str, shot: Shot, folder: Path) -> None:
    """All pictures of one page. Maps get a moment to draw."""
    address = open_shot(page, base, shot)
    for width, height in WIDTHS.items():
        page.set_viewport_size({"width": width, "height": height})
        for scheme in SCHEMES:
            page.emulate_media(color_scheme=scheme, media="screen")
            page.goto(address)
            page.evaluate(LOADED)
            page.wait_for_timeout(400 if page.locator(".map").count() else 50)
            page.screenshot(path=folder / f"{shot.name}-{width}-{scheme}.png", full_page=True)
    page.emulate_media(color_scheme="light", media="print")
    page.pdf(path=folder / f"{shot.name}-print.pdf", format="A4", print_background=False)
    page.emulate_media(media="screen")


def take_all(browser: Browser, base: str, shots: list[Shot], logins: dict[str, str], folder: Path) -> None:
    password = os.environ.get("STUBBLE_DEMO_PASSWORD", "")
    for who in dict.fromkeys(shot.who for shot in shots):
        context = browser.new_context(locale="en-GB", reduced_motion="reduce", device_scale_factor=1)
        page = context.new_page()
        if who:
            sign_in(page, base, logins.get(who, f"{who}@{DEMO}"), password)
        for shot in (each for each in shots if each.who == who):
            take(page, base, shot, folder)
            print(shot.name, flush=True)
        context.close()


@contextmanager
def a_browser() -> Iterator[Browser]:
    """The system's Chromium. Exits naming what was looked for where there is none."""
    program = os.environ.get("STUBBLE_CHROMIUM") or next(filter(None, map(shutil.which, PROGRAMS)), None)
    if program is None:
        sys.exit(f"None of {', '.join(PROGRAMS)} is on PATH; install Chromium or set STUBBLE_CHROMIUM.")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=FLAGS)
        yield browser
        browser.close()


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("base", help="where the site runs, such as http://127.0.0.1:8000")
    parser.add_argument("folder", type=Path, help="where the pictures go; it is made")
    parser.add_argument("--login", type=read_login, action="append", default=[], metavar="WHO=E-MAIL")
    parser.add_argument("--page", type=read_shot, action="append", default=[], metavar="NAME=/PATH/@WHO")
    given = parser.parse_args()
    given.folder.mkdir(parents=True, exist_ok=True)
    with a_browser() as browser:
        take_all(browser, given.base.rstrip("/"), given.page or USUAL, dict(given.login), given.folder)


if __name__ == "__main__":
    main()
