"""What stands in the way of somebody who has no pointer: each control focused in turn, and the Tab key itself.

Sources: WCAG 2.2 success criteria 2.1.1 (keyboard), 2.1.2 (no keyboard trap), 2.4.1 (bypass blocks), 2.4.3 (focus
order), 2.4.7 (focus visible), 2.4.11 (focus not obscured); HTML Living Standard on sequential focus navigation (radio
buttons of one name are one stop, and nothing has a positive tabindex here, so the order is the document's).
"""

from typing import Any

from playwright.sync_api import Page

from tests.browser.keyboard_scripts import LOOK, RECORD, SEEN

MOST_PRESSES = 12  # of one control: a date with its time has a stop for each part


def keyboard_faults(page: Page, *, from_top: bool = True) -> list[str]:
    """Focus each control by script, after one real Tab: is it shown, seen to have the focus, and uncovered?

    From the top of a page that Tab leads to the link past its head.
    """
    page.keyboard.press("Tab")
    seen: dict[str, Any] = page.evaluate(LOOK)
    faults = seen["faults"]
    if from_top and seen["first"] != "#main":
        faults.append(f"the first Tab lands on {seen['first']}, not on the link to the content")
    return [f"{page.url} {words}" for words in faults]


def tab_faults(page: Page) -> list[str]:
    """Load it anew and press Tab through all of it: every stop once, in the order of the document, and out."""
    page.reload()
    expected: list[str] = page.evaluate(RECORD)
    seen: list[str] = []
    for _ in range(MOST_PRESSES):
        for _ in expected:
            page.keyboard.press("Tab")
        seen = page.evaluate(SEEN)
        if len(seen) > len(expected):
            break
    if seen[: len(expected)] == expected and len(seen) > len(expected):
        return _skip_faults(page)
    unlike = next(
        (pair for pair in zip(seen, expected, strict=False) if pair[0] != pair[1]), ("the end", "more")
    )
    return [f"{page.url} Tab came to {unlike[0]} where {unlike[1]} stands ({len(seen)} of {len(expected)})"]


def _skip_faults(page: Page) -> list[str]:
    """The link to the content leads past the head of the page: the next Tab stays in it, or leaves it at its end."""
    page.locator("a.skip").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    past = "!document.activeElement.closest('.site-head, .skip')"
    return [] if page.evaluate(past) else [f"{page.url} the link to the content does not lead past the head"]
