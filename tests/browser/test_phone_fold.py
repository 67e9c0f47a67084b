"""What is folded on a phone opens by a key, stands open at a desk and on paper, and is shown whole without scripts."""

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from people.rights import Role
from tests import make
from tests.browser.conftest import PHONE, Opener

DESK = {"width": 1280, "height": 900}


@pytest.fixture
def page(page_of: Opener) -> Page:
    """The usual seasons: two folds, one of them with a link to each of its rows."""
    make.site(jurisdiction="england")
    page = page_of(make.person(Role.SECRETARY), viewport=PHONE, java_script_enabled=False)
    page.goto(reverse("permissions:season_list"))
    return page


def test_a_fold_is_opened_by_a_key_and_only_then_holds_a_stop(page: Page) -> None:
    summary, link = page.locator("summary").first, page.locator(".phone-fold a").first
    expect(link).not_to_be_visible()
    summary.focus()
    page.keyboard.press("Tab")
    expect(page.locator("summary").nth(1)).to_be_focused()
    summary.focus()
    page.keyboard.press("Enter")
    expect(link).to_be_visible()
    page.keyboard.press("Tab")
    expect(link).to_be_focused()


def test_a_desk_and_paper_show_what_a_phone_folds(page: Page) -> None:
    tables, summaries = page.locator(".phone-fold table"), page.locator(".phone-fold > summary")
    expect(tables).to_have_count(2)
    page.set_viewport_size(DESK)
    for table in tables.all():
        expect(table).to_be_visible()
    expect(summaries.first).not_to_be_visible()
    page.locator(".phone-fold a").first.focus()
    page.keyboard.press("Tab")
    expect(page.locator(".phone-fold a").nth(1)).to_be_focused()
    page.set_viewport_size(PHONE)
    page.emulate_media(media="print")
    for table in tables.all():
        expect(table).to_be_visible()
    expect(summaries.first).not_to_be_visible()
    expect(page.locator("summary", has_text="Kept elsewhere")).to_be_visible()  # it has no other heading
