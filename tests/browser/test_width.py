"""Every page fits a phone with letters twice as large (WCAG 2.2, 1.4.4); at the usual size test_axe.py measures it."""

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.conftest import PHONE, Opener
from tests.browser.page_faults import page_faults
from tests.browser.pages import pages
from tests.views.world import World, build

# Members, links and those outside see pages of their own making; what leaders and the committee see, the secretary sees
# much alike.
ORDER = ("member", "secretary", "committee", "leader", "link", "anonymous", "expired")


def _faults_of_all(page: Page, world: World, reader: str) -> list[str]:
    found = []
    for address in pages(world, reader, after=ORDER):
        page.goto(address)
        found += page_faults(page)
    assert any(pages(world, reader)), f"the access matrix shows {reader} no page"
    return found


@pytest.mark.parametrize("reader", ["member", "secretary", "committee", "link"])
def test_every_page_fits_a_phone_with_letters_twice_as_large(
    reader: str, page_of: Opener, large_print: Browser
) -> None:
    world = build()
    page = page_of(world.reader(reader), large_print, viewport=PHONE)
    assert page.evaluate("getComputedStyle(document.documentElement).fontSize") == "32px"
    assert _faults_of_all(page, world, reader) == []
