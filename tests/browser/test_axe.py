"""axe-core finds nothing on any page, in daylight and in the dark, nor on a form that came back with errors.

Source of the rules: axe-core's checks of WCAG 2.2 A and AA, and of its authors' best practice.
"""

from collections.abc import Callable
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests import make
from tests.browser.conftest import DESK, PHONE, Opener
from tests.browser.pages import READERS, pages
from tests.views.world import build

AXE = Axe()
EVERYTHING = {"resultTypes": ["violations"]}
COLOURS = EVERYTHING | {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}}


def _violations(page: Page, options: dict[str, Any]) -> list[str]:
    found = AXE.run(page, options=options).response["violations"]
    return [f"{page.url} {rule['id']}: {node['html'][:200]}" for rule in found for node in rule["nodes"]]


def _both_schemes(page: Page) -> list[str]:
    """All rules in daylight; in the dark only what colour can change."""
    page.emulate_media(color_scheme="light")
    found = _violations(page, EVERYTHING)
    page.emulate_media(color_scheme="dark")
    return found + [f"dark {line}" for line in _violations(page, COLOURS)]


@pytest.mark.parametrize("reader", READERS)
def test_axe_finds_nothing_on_any_page(reader: str, page_of: Opener) -> None:
    world = build()
    page = page_of(world.reader(reader), viewport=DESK)
    found, count = [], 0
    for address in pages(world, reader):
        page.goto(address)
        found += _both_schemes(page)
        count += 1
    assert found == []
    assert count, f"the access matrix shows {reader} no page"


def _refused(page: Page) -> Page:
    """Send the page's last form empty, past the browser's own checks."""
    form = page.locator("main form[method=post]").last
    form.evaluate(
        "form => { form.noValidate = true; form.querySelectorAll('input, textarea')"
        ".forEach(each => { if (!['hidden', 'radio', 'checkbox'].includes(each.type)) each.value = ''; }) }"
    )
    form.locator("button:not([type=button])").last.click()
    page.locator(".error-summary").wait_for()
    return page


FORMS: list[tuple[str, Callable[[Any], str]]] = [
    ("secretary", lambda world: "/land/sites/add/"),
    ("secretary", lambda world: f"/hunts/plan/?permission={world.permission.pk}"),
    ("member", lambda world: f"/hunts/{world.hunt.pk}/holes/log/"),
    ("member", lambda world: f"/finds/hunt/{world.hunt.pk}/record/"),
    ("committee", lambda world: "/heritage/group/"),
]


def test_axe_finds_nothing_on_a_form_that_came_back(page_of: Opener) -> None:
    world = build()
    make.hunt(world.site, leader=world.leader, permission_=world.permission)
    found = []
    for reader, address in FORMS:
        page = page_of(world.reader(reader), viewport=PHONE)
        page.goto(address(world))
        found += _both_schemes(_refused(page))
    assert found == []
