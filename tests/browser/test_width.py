"""Every page fits a phone, also with letters twice as large, and has its title, heading and landmark.

Sources: WCAG 2.2 success criteria 1.4.4 (resize text to 200 %), 1.4.10 (no scrolling in two directions), 2.4.2
(titled), 1.3.1; HTML Living Standard on `id` (unique in the document).
"""

from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.conftest import PHONE, Opener
from tests.browser.pages import READERS, pages
from tests.views.world import World, build

# Members, links and those outside see pages of their own making; what leaders and the committee see, the secretary sees
# much alike.
ORDER = ("member", "secretary", "committee", "leader", "link", "anonymous", "expired")
MEASURE = """() => {
  const edge = document.documentElement.clientWidth;
  const ids = [...document.querySelectorAll("[id]")].map(node => node.id);
  const beyond = [...document.querySelectorAll("body *")].filter(node => node.getBoundingClientRect().right > edge + 1);
  return {
    h1: document.querySelectorAll("h1").length, main: document.querySelectorAll("main").length,
    title: document.title.trim(), twice: ids.filter((id, place) => ids.indexOf(id) !== place),
    wide: document.documentElement.scrollWidth - edge,
    beyond: beyond.slice(-3).map(node => node.outerHTML.slice(0, 120)),
  };
}"""


def _faults(page: Page) -> list[str]:
    seen: dict[str, Any] = page.evaluate(MEASURE)
    faults = {
        f"{seen['h1']} level-one headings": seen["h1"] != 1,
        f"{seen['main']} main landmarks": seen["main"] != 1,
        f"no title but “{seen['title']}”": seen["title"].startswith("·") or not seen["title"],
        f"identifiers twice: {seen['twice']}": bool(seen["twice"]),
        f"{seen['wide']} px too wide: {seen['beyond']}": seen["wide"] > 0,
    }
    return [f"{page.url} {words}" for words, is_fault in faults.items() if is_fault]


def _faults_of_all(page: Page, world: World, reader: str) -> list[str]:
    found = []
    for address in pages(world, reader, after=ORDER):
        page.goto(address)
        found += _faults(page)
    assert any(pages(world, reader)), f"the access matrix shows {reader} no page"
    return found


@pytest.mark.parametrize("reader", READERS)
def test_every_page_fits_a_phone_and_is_titled(reader: str, page_of: Opener) -> None:
    world = build()
    assert _faults_of_all(page_of(world.reader(reader), viewport=PHONE), world, reader) == []


@pytest.mark.parametrize("reader", ["member", "secretary", "committee", "link"])
def test_every_page_fits_a_phone_with_letters_twice_as_large(
    reader: str, page_of: Opener, large_print: Browser
) -> None:
    world = build()
    page = page_of(world.reader(reader), large_print, viewport=PHONE)
    assert page.evaluate("getComputedStyle(document.documentElement).fontSize") == "32px"
    assert _faults_of_all(page, world, reader) == []
