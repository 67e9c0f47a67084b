"""Filling in forms as a person does, and files to send."""

from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests import make


def fill(page: Page, **values: Any) -> None:
    """Fill the fields by their names: text, dates, lists, ticks (True, or the values to tick), files."""
    for name, value in values.items():
        field = page.locator(f"main [name={name}]:not([type=hidden])")
        folded = field.first.locator("xpath=ancestor::details[not(@open)]/summary")
        if folded.count():
            folded.first.click()
        kind = field.first.evaluate("node => node.type || node.tagName.toLowerCase()")
        _fill_one(field, kind, value)


def _fill_one(field: Locator, kind: str, value: Any) -> None:
    if kind in {"radio", "checkbox"}:
        for each in [value] if isinstance(value, str) else value if isinstance(value, list) else [None]:
            (field if each is None else field.and_(field.page.locator(f"[value='{each}']"))).check()
    elif kind.startswith("select"):
        field.select_option(value)
    elif kind == "file":
        field.set_input_files(value)
    else:
        field.fill(str(value))


def press(page: Page, name: str) -> None:
    """Press a button of the page's content by its whole name."""
    page.locator("main").get_by_role("button", name=name, exact=True).click()


def follow(page: Page, name: str) -> None:
    """Follow a link of the page's content by its whole name."""
    page.locator("main").get_by_role("link", name=name, exact=True).first.click()


def unfold(page: Page, name: str) -> None:
    """Open a folded part by its summary, unless it is open."""
    part = page.locator("details").filter(has=page.locator("summary", has_text=name)).first
    if part.get_attribute("open") is None:
        part.locator("summary").click()


def says(page: Page, words: str) -> None:
    """The page's content holds these words, visible."""
    expect(page.locator("main").get_by_text(words).first).to_be_visible()


def photograph(name: str, colour: str) -> dict[str, Any]:
    return {"name": name, "mimeType": "image/jpeg", "buffer": make.photo_bytes(colour)}


def letter(name: str = "consent.pdf") -> dict[str, Any]:
    """A one-page PDF without text, enough for a reader to open."""
    parts = [
        b"%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n",
        b"2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n",
        b"3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 200 200]>>endobj\n",
        b"trailer<</Root 1 0 R>>\n%%EOF\n",
    ]
    return {"name": name, "mimeType": "application/pdf", "buffer": b"".join(parts)}
