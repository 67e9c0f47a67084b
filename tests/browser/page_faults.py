"""What a page says of itself when it is measured in a browser: too wide, without title, heading or landmark.

Sources: WCAG 2.2 success criteria 1.4.4 (resize text to 200 %), 1.4.10 (no scrolling in two directions), 2.4.2
(titled), 1.3.1, 3.1.1 (language of page); HTML Living Standard on `id` (unique in the document).
"""

from typing import Any

from playwright.sync_api import Page

MEASURE = """() => {
  const edge = document.documentElement.clientWidth;
  const ids = [...document.querySelectorAll("[id]")].map(node => node.id);
  const beyond = [...document.querySelectorAll("body *")].filter(node => node.getBoundingClientRect().right > edge + 1);
  return {
    h1: document.querySelectorAll("h1").length, main: document.querySelectorAll("main").length,
    lang: document.documentElement.lang, title: document.title.trim(),
    twice: ids.filter((id, place) => ids.indexOf(id) !== place),
    wide: document.documentElement.scrollWidth - edge,
    beyond: beyond.slice(-3).map(node => node.outerHTML.slice(0, 120)),
  };
}"""


def page_faults(page: Page, language: str = "en") -> list[str]:
    """At the width the page has now."""
    seen: dict[str, Any] = page.evaluate(MEASURE)
    faults = {
        f"it says that its language is “{seen['lang']}”": seen["lang"].partition("-")[0] != language,
        f"{seen['h1']} level-one headings": seen["h1"] != 1,
        f"{seen['main']} main landmarks": seen["main"] != 1,
        f"no title but “{seen['title']}”": seen["title"].startswith("·") or not seen["title"],
        f"identifiers twice: {seen['twice']}": bool(seen["twice"]),
        f"{seen['wide']} px too wide: {seen['beyond']}": seen["wide"] > 0,
    }
    return [f"{page.url} {words}" for words, is_fault in faults.items() if is_fault]


def set_letters(page: Page, size_px: int) -> None:
    """What the reader's own setting of the browser does, without loading anew: lengths and media queries follow."""
    session = page.context.new_cdp_session(page)
    session.send("Page.setFontSizes", {"fontSizes": {"standard": size_px, "fixed": size_px * 13 // 16}})
    session.detach()
