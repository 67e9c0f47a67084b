"""Every page fits a phone, also with letters twice as large, and has its title, heading and landmark.

Sources: WCAG 2.2 success criteria 1.4.4 (resize text to 200 %), 1.4.10 (no scrolling in two directions), 2.4.2
(titled), 1.3.1; HTML Living Standard on `id` (unique in the document).
"""

from typing import Any

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import PHONE, Opener
from tests.browser.pages import READERS, pages
from tests.views.world import build

MEASURE = """() => {
  const wide = () => document.documentElement.scrollWidth - document.documentElement.clientWidth;
  const ids = [...document.querySelectorAll("[id]")].map(node => node.id);
  const beyond = (large) => [...document.querySelectorAll("body *")]
    .filter(node => node.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
    .slice(0, 3).map(node => large + node.outerHTML.slice(0, 120));
  const found = {
    h1: document.querySelectorAll("h1").length, main: document.querySelectorAll("main").length,
    title: document.title.trim(), twice: ids.filter((id, place) => ids.indexOf(id) !== place),
    wide: wide(), beyond: wide() > 0 ? beyond("") : [],
  };
  document.documentElement.style.fontSize = "200%";
  found.wideWhenLarge = wide();
  if (found.wideWhenLarge > 0) found.beyond.push(...beyond("200 %: "));
  return found;
}"""


def _faults(page: Page) -> list[str]:
    seen: dict[str, Any] = page.evaluate(MEASURE)
    faults = {
        f"{seen['h1']} level-one headings": seen["h1"] != 1,
        f"{seen['main']} main landmarks": seen["main"] != 1,
        f"no title but “{seen['title']}”": seen["title"].startswith("·") or not seen["title"],
        f"identifiers twice: {seen['twice']}": bool(seen["twice"]),
        f"{seen['wide']} px too wide: {seen['beyond']}": seen["wide"] > 0,
        f"{seen['wideWhenLarge']} px too wide at 200 %: {seen['beyond']}": seen["wideWhenLarge"] > 0,
    }
    return [f"{page.url} {words}" for words, is_fault in faults.items() if is_fault]


@pytest.mark.parametrize("reader", READERS)
def test_every_page_fits_a_phone_and_is_titled(reader: str, page_of: Opener) -> None:
    world = build()
    page = page_of(world.reader(reader), viewport=PHONE)
    found, count = [], 0
    for address in pages(world, reader):
        page.goto(address)
        found += _faults(page)
        count += 1
    assert found == []
    assert count, f"the access matrix shows {reader} no page"
