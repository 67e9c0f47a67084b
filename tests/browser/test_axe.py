"""axe-core finds nothing on any page, in daylight and in the dark, nor on a form that came back with errors; and every
page fits a phone and has its title, heading and landmark.

Source of the rules: axe-core's checks of WCAG 2.2 A and AA, and of its authors' best practice.
"""

from collections.abc import Callable
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from people.models import Club
from tests import EVERYTHING, make
from tests.browser.conftest import PHONE, Opener
from tests.browser.page_faults import page_faults
from tests.browser.pages import pages
from tests.views.world import build

AXE = Axe()
# As wide as a book: above the phone's layout, below the drawn margin rule, over which axe cannot judge colours.
BOOK = {"width": 900, "height": 900}
READERS = ("secretary", "committee", "member", "anonymous", "link", "expired")
AT_DESKS = ("secretary", "committee")
ALL_RULES = {"resultTypes": ["violations"]}
COLOURS = ALL_RULES | {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}}


RUN = """options => axe.run(options).then(found => found.violations.flatMap(
  rule => rule.nodes.map(node => `${rule.id}: ${node.html.slice(0, 200)}`)))"""


def _violations(page: Page, options: dict[str, Any]) -> list[str]:
    return [f"{page.url} {line}" for line in page.evaluate(RUN, options)]


def _both_schemes(page: Page, *, dark: bool = True) -> list[str]:
    """All rules in daylight; in the dark only what colour can change."""
    page.emulate_media(color_scheme="light")
    page.evaluate(AXE.axe_script)
    found = _violations(page, ALL_RULES)
    if not dark:
        return found
    page.emulate_media(color_scheme="dark")
    return found + [f"dark {line}" for line in _violations(page, COLOURS)]


@pytest.mark.parametrize("language", ["", pytest.param("nl", marks=pytest.mark.long)])
@pytest.mark.parametrize(
    ("reader", "half"), [(r, h) for r in READERS for h in ((0, 1) if r in AT_DESKS else (None,))]
)
def test_every_page_is_open_to_all_and_fits_a_phone(
    reader: str, half: int | None, language: str, page_of: Opener
) -> None:
    """A usual run measures each page and holds every second one against all rules: they share their parts."""
    world = build()
    Club.objects.update(language=language)
    size = BOOK if reader in AT_DESKS else PHONE
    page = page_of(world.reader(reader), viewport=size)
    addresses = list(pages(world, reader, after=READERS))
    found = []
    for number, address in enumerate(addresses[half::2] if half is not None else addresses):
        page.set_viewport_size(size)
        page.goto(address)
        if EVERYTHING or number % 2 == 0:
            found += _both_schemes(page, dark=EVERYTHING or number % 4 == 0)
        page.set_viewport_size(PHONE)
        found += page_faults(page)
    assert found == []
    assert addresses, f"the access matrix shows {reader} no page that was not looked at before"


def test_axe_would_say_so(page_of: Opener) -> None:
    """Grey letters of too little contrast are found in both schemes: the checks above look at colours at all."""
    page = page_of(build().secretary, viewport=BOOK)
    page.goto("/")
    page.evaluate("""() => {
      const words = document.querySelector("main").appendChild(document.createElement("p"));
      words.textContent = "grey";
      words.style.color = "#777";
    }""")
    assert len(_both_schemes(page)) == 2


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
