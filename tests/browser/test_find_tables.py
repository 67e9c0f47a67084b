"""Ten finds on a phone in two minutes, and a table of finds sent, looked at and saved, in a browser.

Source for the times: Card, Moran and Newell, "The keystroke-level model for user performance time with interactive
systems", Communications of the ACM 23 (1980) 396-410: a keystroke of a skilled typist K = 0.2 s, pointing P = 1.1 s,
thinking of the next thing M = 1.35 s (figures from memory). A tap on a phone counts as P, a key of its keyboard as K;
an answer of the server counts as the three seconds of a slow phone (an assumption: what it takes here says how busy
this machine is).
"""

import csv
import io
import re
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Locator, Page, expect

from finds.models import Find
from people.models import User
from tests import make
from tests.browser.conftest import PHONE, Opener
from tests.browser.forms import press, says

K, P, M, R = 0.2, 1.1, 1.35, 3.0
TWO_MINUTES = 120.0


class Thumb:
    """Taps and types on the page, and counts."""

    def __init__(self, page: Page) -> None:
        self.page, self.taps, self.keys, self.thoughts, self.answers = page, 0, 0, 0, 0

    def tap(self, target: Locator) -> None:
        target.tap()
        self.taps += 1

    def type(self, name: str, text: str) -> None:
        self.tap(self.page.locator(f"#id_{name}"))
        self.page.keyboard.type(text)
        self.keys += len(text)

    def tick(self, label: str) -> None:
        self.tap(self.page.locator("main form").get_by_label(label, exact=True))

    def send(self, button: str) -> None:
        number = self.page.url
        self.tap(self.page.get_by_role("button", name=button, exact=True))
        self.page.wait_for_url(lambda url: url != number and "made=" in url)
        self.answers += 1

    @property
    def seconds(self) -> float:
        return self.taps * P + self.keys * K + self.thoughts * M + self.answers * R


# What ten finds of a day are like: (object, material, place, depth); nothing stands for "like the last".
DAY: list[tuple[str, str, str, str] | None] = [
    ("button", "Copper alloy", "TA42441371", "12"),
    None,
    ("buckle", "Copper alloy", "TA42431372", "15"),
    ("shot", "Lead or lead alloy", "", "10"),
    None,
    None,
    ("nail", "Iron", "TA42451373", "20"),
    ("thimble", "Copper alloy", "", "11"),
    ("penny", "Copper alloy", "TA42421370", "9"),
    None,
]


def test_ten_finds_are_entered_in_two_minutes(
    page_of: Opener, member: User, leader: User, faults: Callable[[Page], list[str]]
) -> None:
    make.club()
    hunt = make.hunt(make.site(code="SF04"), leader=leader, state="running")
    make.sign_up(hunt, member)
    page = page_of(member, viewport=PHONE, has_touch=True)
    page.goto(f"/hunts/{hunt.pk}/")
    page.get_by_role("link", name="Many finds quickly").click()
    thumb = Thumb(page)
    for number, find in enumerate(DAY):
        thumb.thoughts += 1
        if find is not None:
            words, material, place, depth = find
            thumb.type("object_type", words)
            thumb.tick(material)
            thumb.tick("None of these")
            if place:
                thumb.type("position_text", place)
            else:
                thumb.tap(page.get_by_label(re.compile("^Same place as the last")))
            thumb.type("depth_cm", depth)
        else:
            thumb.tap(page.get_by_label(re.compile("^Same place as the last")))
        coming = DAY[number + 1] if number + 1 < len(DAY) else ()
        thumb.send("Record it, then another like it" if coming is None else "Record it")
        assert not find or page.locator("dd.ref").inner_text() == Find.objects.latest("pk").number
    print(f"{thumb.taps} taps, {thumb.keys} keys, {thumb.answers} answers: {thumb.seconds:.0f} s")
    assert Find.objects.filter(hunt=hunt, lon__isnull=False, placing="inside").count() == len(DAY)
    assert thumb.seconds < TWO_MINUTES
    assert page.get_by_role("row").count() == len(DAY) + 1
    assert faults(page) == []


def test_quick_entry_works_without_javascript(page_of: Opener, member: User, leader: User) -> None:
    make.club()
    hunt = make.hunt(make.site(code="SF04"), leader=leader, state="running")
    make.sign_up(hunt, member)
    page = page_of(member, viewport=PHONE, java_script_enabled=False)
    page.goto(f"/finds/hunt/{hunt.pk}/quick/")
    page.locator("#id_object_type").fill("fuse")
    page.get_by_label("Ammunition, a shell, a mine or a firearm").check()
    press(page, "Record it")
    expect(page.locator(".emergency").first).to_be_visible()
    says(page, "Write this number on the bag.")


def a_table(*rows: dict[str, Any]) -> dict[str, Any]:
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]))
    writer.writeheader()
    writer.writerows(rows)
    return {"name": "bags.csv", "mimeType": "text/csv", "buffer": out.getvalue().encode("cp1252")}


def test_a_table_is_sent_mended_looked_at_and_saved(
    page_of: Opener, member: User, leader: User, faults: Callable[[Page], list[str]]
) -> None:
    make.club()
    hunt = make.hunt(
        make.site(code="SF04"), leader=leader, on=make.days(-7), code="H2026-004", state="closed"
    )
    make.sign_up(hunt, member)
    page = page_of(member, viewport=PHONE, java_script_enabled=False)
    page.goto("/finds/")
    page.get_by_role("link", name="Import a table").click()
    row = {
        "hunt": hunt.code,
        "object": "Schnalle, grün",
        "materials": "silver 0.05",
        "own reference": "bag 1",
    }
    page.locator("#id_file").set_input_files(a_table(row))
    press(page, "Look at it")
    says(page, "“0.05” could be 5 % or 0.05 %; write 5 % or 0.05 %.")
    says(page, "The file does not say how its letters are written")
    expect(page.get_by_role("button", name=re.compile("^Save"))).to_have_count(0)
    page.get_by_role("link", name="Send the mended file").click()
    page.locator("#id_file").set_input_files(a_table(row | {"materials": "silver 5 %"}))
    press(page, "Look at it")
    press(page, "Save 1 find")
    expect(page.get_by_role("heading", level=1)).to_have_text("1 find recorded")
    says(page, "Schnalle, grün")
    assert Find.objects.get().materials.get().share_percent == 5
    page.goto("/finds/import/")
    page.locator("#id_file").set_input_files(a_table(row | {"materials": "silver 6 %"}))
    press(page, "Look at it")
    says(page, "differs in materials")
    says(page, "Every row of this file is here already")
