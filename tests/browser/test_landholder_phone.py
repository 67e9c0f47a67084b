"""A landholder on a phone with JavaScript off, from the link to the answer; and the page on one sheet of paper."""

import re
from io import BytesIO
from itertools import count
from typing import Any

import pytest
from django.core import mail
from django.urls import reverse
from django.utils.timezone import localdate, now
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from permissions.links import key_of
from permissions.models import Landholder
from reports.actions import issue_report
from reports.drafts import draft_for_hunt, photos_of
from reports.models import Kind, LandholderAnswer
from reports.pdf import render_pdf
from tests import make
from tests.browser.conftest import DESK, Opener
from tests.browser.forms import fill, follow, press, unfold
from tests.views.world import World, build


@pytest.fixture
def world(monkeypatch: pytest.MonkeyPatch) -> World:
    """A typical year: six visits, each with holes filled and a find with its photograph; two more are planned.

    The numbers are as long as those of a club with many years behind it.
    """
    monkeypatch.setattr(make, "_numbers", count(10_800))
    world = build()
    for number in range(5):
        hunt = make.hunt(
            world.site,
            leader=world.leader,
            permission_=world.permission,
            state="closed",
            on=make.days(-30 * number - 9),
            title=f"Walk {number + 1}",
        )
        make.attendance(hunt, world.member)
        make.hole(hunt, world.member, state="filled", filled_at=now())
        make.find_photo(make.find(hunt, world.member, object_type="buckle"))
        if not number:
            world.report = _issued(world, hunt)  # type: ignore[attr-defined]
    for number in (6, 20):
        make.hunt(
            world.site,
            leader=world.leader,
            permission_=world.permission,
            on=make.days(number),
            title="Ten Acre",
        )
    return world


def _issued(world: World, hunt: Any) -> Any:
    draft = draft_for_hunt(Kind.VISIT, hunt, world.landholder, on=localdate())
    pdf = render_pdf(draft.report, photos_of(draft.report))
    return issue_report(
        Kind.VISIT, draft, pdf, by=world.leader, at=now(), hunt=hunt, landholder=world.landholder
    )


def address(world: World) -> str:
    return reverse("reports:landholder", args=[key_of(world.link)])


def section(page: Page, heading: str) -> Any:
    return page.locator("section").filter(has=page.get_by_role("heading", name=heading, exact=True))


def test_a_landholder_reads_and_answers_on_a_phone_without_javascript(page_of: Opener, world: World) -> None:
    page = page_of(None, java_script_enabled=False)
    page.goto(address(world))
    expect(page.get_by_role("heading", level=1)).to_have_text("Ada Warp")
    expect(section(page, "Next visits")).to_contain_text("led by Len Groyne")
    page.get_by_role("link", name=re.compile("^Visit report")).first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Visit report")
    photo = page.locator("article img[src*='find-']").first
    assert page.request.get(photo.get_attribute("src") or "").headers["content-type"] == "image/jpeg"
    follow(page, "Back to your page")
    confirm(page, world)
    unfold(page, "Write to the club")
    write(page, "question", "What is the buckle made of?", "Ask the club")
    unfold(page, "Say where and when")
    write(page, "invite", "Long Lands, from the end of August.", "Ask the club to come")
    said = section(page, "What you told us")
    for words in ("confirmed what was returned", "What is the buckle made of?", "from the end of August"):
        expect(said).to_contain_text(words)
    assert set(LandholderAnswer.objects.values_list("what", flat=True)) >= {
        "confirmed",
        "question",
        "invited",
    }
    page.goto(address(world))
    assert printed(page) == 1


def confirm(page: Page, world: World) -> None:
    page.get_by_role("link", name=re.compile("^Returns statement")).first.click()
    fill(page, received="confirmed", signed_name="Ada Warp")
    press(page, "Sign and send")
    expect(page.get_by_role("status").or_(page.locator(".notice.success")).first).to_contain_text("Thank you")


def write(page: Page, name: str, words: str, button: str) -> None:
    page.locator(f"#{name}-words").fill(words)
    press(page, button)
    expect(page.locator("main")).to_contain_text("answers you here")


def printed(page: Page) -> int:
    """How many sheets of A4 the page is, as Chromium prints it."""
    return len(PdfReader(BytesIO(page.pdf(format="A4"))).pages)


def test_a_typical_year_is_one_sheet_of_paper(page_of: Opener, world: World) -> None:
    page = page_of(None, viewport=DESK)
    page.goto(address(world))
    text = PdfReader(BytesIO(page.pdf(format="A4"))).pages[0].extract_text()
    assert printed(page) == 1
    for words in ("Next visits", "Walk 5", "Where we have been", "buckle", "Your fields with us"):
        assert words in text
    assert "Pause it now" not in text
    assert "Your name" not in text


def test_the_code_is_typed_on_a_phone_without_javascript(page_of: Opener, world: World, faults: Any) -> None:
    Landholder.objects.update(asks_code=True)
    page = page_of(None, java_script_enabled=False)
    page.goto(address(world))
    expect(page.get_by_role("heading", level=1)).to_have_text("This page opens with a code")
    press(page, "Send me a code")
    code = re.search(r"\d{4} \d{4}", mail.outbox[-1].body)
    assert code
    fill(page, code="0000 0000" if code[0] != "0000 0000" else "1111 1111")
    press(page, "Open")
    expect(page.locator("main")).to_contain_text("This is not the code")
    fill(page, code=code[0])
    press(page, "Open")
    expect(page.get_by_role("heading", level=1)).to_have_text("Ada Warp")
    stranger = page_of(None)
    stranger.goto(address(world))
    expect(stranger.get_by_role("heading", level=1)).to_have_text("This page opens with a code")
    assert faults(stranger) == []


def test_papers_to_sign_open_by_code(page_of: Opener, world: World, faults: Any) -> None:
    page = page_of(None)
    page.goto(address(world))
    follow(page, "Open with a code")
    press(page, "Send me a code")
    code = re.search(r"\d{4} \d{4}", mail.outbox[-1].body)
    assert code
    fill(page, code=code[0])
    press(page, "Open")
    expect(page.get_by_role("heading", level=1)).to_have_text("Sharing, and papers to sign")
    assert faults(page) == []
    follow(page, "Agreement to search")
    expect(page.locator("main")).to_contain_text(world.sign_request.issue.number)


def test_every_part_of_the_page_is_accessible_and_fits(page_of: Opener, world: World, faults: Any) -> None:
    page = page_of(None)
    page.goto(f"{address(world)}?show=all")
    assert faults(page) == []
