"""Every page as somebody meets it who sees little, sees large letters, or has no pointer.

axe-core finds nothing on any page, in daylight and in the dark, nor on a form that came back with errors; every page
fits a phone, with letters twice as large too, has its title, heading, landmark and language, and is used by keys alone.

Source of the rules: axe-core's checks of WCAG 2.2 A and AA, and of its authors' best practice; page_faults.py and
keyboard.py name the criteria that they look at.
"""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

from people.models import Club
from tests import EVERYTHING, make
from tests.browser.axe import ALL_BUT_COLOURS, ALL_RULES, COLOURS, violations, with_axe
from tests.browser.conftest import PHONE, Opener
from tests.browser.keyboard import keyboard_faults, tab_faults
from tests.browser.page_faults import page_faults, set_letters
from tests.browser.pages import pages
from tests.views.world import build

# As wide as a book: above the phone's layout, below the drawn margin rule, over which axe cannot judge colours.
BOOK = {"width": 900, "height": 900}
ENLARGED = {"width": 320, "height": 256}  # a window of 1280 by 1024 at 400 % (WCAG 2.2, 1.4.10)
READERS = ("secretary", "committee", "member", "anonymous", "link", "expired")
AT_DESKS = ("secretary", "committee")
HALVES = [(reader, half) for reader in READERS for half in ((0, 1) if reader == "secretary" else (None,))]


def _both_schemes(page: Page, *, light: bool = True, dark: bool = True) -> list[str]:
    """All rules in daylight, or all but colours; in the dark only what colour can change."""
    page.emulate_media(color_scheme="light")
    found = violations(page, ALL_RULES if light else ALL_BUT_COLOURS)
    if not dark:
        return found
    page.emulate_media(color_scheme="dark")
    return found + [f"dark {line}" for line in violations(page, COLOURS)]


def _on_a_phone(page: Page, language: str, *, by_tab: bool, large: bool = True) -> list[str]:
    """Measured at 400 %, as it is, and with letters twice as large (WCAG 2.2, 1.4.4), then each control focused."""
    page.set_viewport_size(ENLARGED)
    found = page_faults(page, language)
    page.set_viewport_size(PHONE)
    found += page_faults(page, language)
    if large:
        set_letters(page, 32)
        found += [f"large {line}" for line in page_faults(page, language)]
        set_letters(page, 16)
    # The field page puts the focus on each screen's heading, as programs of one page do.
    found += keyboard_faults(page, from_top="/field/" not in page.url)
    return found + (tab_faults(page) if by_tab else [])


@pytest.mark.parametrize("language", ["", pytest.param("nl", marks=pytest.mark.long)])
@pytest.mark.parametrize(("reader", "half"), HALVES)
def test_every_page_is_open_to_all_and_fits_a_phone(
    reader: str, half: int | None, language: str, page_of: Opener
) -> None:
    """A usual run measures each page and focuses its controls, every second one with letters twice as large, holds
    every fourth against axe's rules, its colours in one scheme by turns, and walks every sixteenth by Tab: pages share
    their parts. STUBBLE_EVERYTHING=1 does it all.
    """
    world = build()
    Club.objects.update(language=language)
    # Who has no account is answered in the language of the browser.
    plain = page_of(world.reader(reader), viewport=PHONE, locale="nl-NL" if language else "en-GB")
    judged = with_axe(plain.context.new_page())
    addresses = list(pages(world, reader, after=READERS))
    found = []
    for number, address in enumerate(addresses[half::2] if half is not None else addresses):
        page = judged if EVERYTHING or number % 4 == 0 else plain
        if page is judged:
            page.set_viewport_size(BOOK if reader in AT_DESKS else PHONE)
        page.goto(address)
        if page is judged:
            found += _both_schemes(
                page, light=EVERYTHING or number % 8 == 0, dark=EVERYTHING or number % 8 == 4
            )
        found += _on_a_phone(
            page,
            language or "en",
            by_tab=EVERYTHING or number % 16 == 0,
            large=EVERYTHING or number % 2 == 1,
        )
    assert not found, "\n".join(found)
    assert addresses, f"the access matrix shows {reader} no page that was not looked at before"


def test_axe_would_say_so(page_of: Opener) -> None:
    """Grey letters of too little contrast are found in both schemes: the checks above look at colours at all."""
    page = with_axe(page_of(build().secretary, viewport=BOOK))
    page.goto("/")
    page.evaluate("""() => {
      const words = document.querySelector("main").appendChild(document.createElement("p"));
      words.textContent = "grey";
      words.style.color = "#777";
    }""")
    assert len(_both_schemes(page)) == 2


SPOILED = {
    "a positive tabindex": "links[0].tabIndex = 3",
    "hidden from readers": "links[0].setAttribute('aria-hidden', 'true')",
    "does not show that it has the focus": "links[0].style.cssText = 'outline: 0; box-shadow: none'",
    "covered": "Object.assign(main.appendChild(document.createElement('div')).style, "
    "{ position: 'fixed', inset: 0, background: 'red', zIndex: 9 })",
    "Tab came to": "links[0].addEventListener('focus', () => links[1].focus())",
    "px too wide": "main.style.width = '500px'",
    "level-one headings": "main.querySelector('h1').remove()",
    "its language is": "document.documentElement.lang = 'nl'",
}
SPOIL = """() => addEventListener("DOMContentLoaded", () => {
  const main = document.querySelector("main");
  const links = main.querySelectorAll("a[href]");
  %s;
})"""


def test_the_measures_and_the_keys_would_say_so(page_of: Opener) -> None:
    """Each fault put into a page is found, in the page that has none without it."""
    world = build()
    page = page_of(world.secretary, viewport=PHONE)
    page.goto("/hunts/")
    assert _on_a_phone(page, "en", by_tab=True) == []
    found = {}
    for name, script in SPOILED.items():
        page = page_of(world.secretary, viewport=PHONE)
        page.add_init_script(f"({SPOIL % script})()")
        page.goto("/hunts/")
        found[name] = _on_a_phone(page, "en", by_tab=name == "Tab came to")
        page.context.close()
    assert {name: any(name in line for line in lines) for name, lines in found.items()} == dict.fromkeys(
        SPOILED, True
    )


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
    """All rules but those of colours on each; colours in one scheme by turns, as every form has the same sheet."""
    world = build()
    make.hunt(world.site, leader=world.leader, permission_=world.permission)
    found = []
    for number, (reader, address) in enumerate(FORMS):
        page = with_axe(page_of(world.reader(reader), viewport=PHONE))
        page.goto(address(world))
        dark = EVERYTHING or number % 2 == 1
        found += _both_schemes(_refused(page), light=EVERYTHING or not dark, dark=dark)
    assert found == []
