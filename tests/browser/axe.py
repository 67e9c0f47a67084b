"""axe-core in a page: what it finds, one line each."""

from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

SCRIPT = Axe().axe_script
ALL_RULES: dict[str, Any] = {"resultTypes": ["violations"]}
WCAG = ALL_RULES | {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
}
COLOUR_RULES = ["color-contrast", "link-in-text-block"]
COLOURS = ALL_RULES | {"runOnly": {"type": "rule", "values": COLOUR_RULES}}
ALL_BUT_COLOURS = ALL_RULES | {"rules": {rule: {"enabled": False} for rule in COLOUR_RULES}}

RUN = """options => axe.run(options).then(found => found.violations.flatMap(
  rule => rule.nodes.map(node => `${rule.id}: ${node.html.slice(0, 200)}`)))"""


def with_axe(page: Page) -> Page:
    """axe comes into each page that this one loads, as it loads: sent anew each time it takes twice as long."""
    page.add_init_script(SCRIPT)
    return page


def violations(page: Page, options: dict[str, Any]) -> list[str]:
    if not page.evaluate("'axe' in window"):
        page.evaluate(SCRIPT)
    return [f"{page.url} {line}" for line in page.evaluate(RUN, options)]
