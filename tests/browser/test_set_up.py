"""From an empty database to a planned hunt, by the pages alone: what a newcomer meets on the first evening."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils.timezone import localdate, now
from playwright.sync_api import Page, expect

from people.models import Contact, Invitation
from people.set_up import new_key
from tests import make
from tests.browser.conftest import PHONE, Opener
from tests.browser.forms import fill, follow, press, says
from tests.browser.page_faults import page_faults
from tests.browser.season import Season, add_site, agree_permission, know_the_site, plan_hunt


def _first_steps(page: Page) -> list[str]:
    """The door, the first person, the club, its contacts and two of the committee; what is wrong with the pages."""
    found = []
    page.goto("/")
    says(page, "manage.py set_up_link")
    found += page_faults(page)
    page.goto(reverse("set_up_begin", args=[new_key(at=now())]))
    found += page_faults(page)
    fill(page, club="Ravensand & District Search Club", name="Sal Marram", email="sal@ravensand.example")
    fill(page, new_password1=make.PASSWORD, new_password2=make.PASSWORD)
    press(page, "Begin")
    found += page_faults(page)
    fill(page, address="The Old Lifeboat House, Ravensand", jurisdiction="england")
    press(page, "Save and go on")
    found += page_faults(page)
    page.get_by_label("Phone").first.fill("101")
    press(page, "Save and go on")
    for name in ("Cora Boulder", "Nan Spurn"):
        fill(page, name=name, email=f"{name.split()[0].lower()}@ravensand.example", roles=["committee"])
        press(page, "Invite")
        says(page, name)
    found += page_faults(page)
    follow(page, "Go on")
    press(page, "Send me a test letter")
    return found + page_faults(page)


def _play(season: Season) -> None:
    page = season.pages["secretary"] = season.pages["leader"] = season.fresh(PHONE)
    assert _first_steps(page) == []
    assert Contact.objects.get().phone == "101"
    assert Invitation.objects.count() == 2
    page.goto("/")
    follow(page, "The first landholder")
    fill(page, name="Ada Warp", email="ada@saltmere.example", phone="01632 960003")
    press(page, "Save")
    page.goto("/")
    expect(page.locator("main").get_by_role("link", name="The first landholder")).to_have_count(0)
    follow(page, "The first site with its boundary")
    add_site(season)
    know_the_site(season)
    agree_permission(season)
    page.goto("/")
    follow(page, "Insurance of the people who search")
    follow(page, "Sal Marram")
    follow(page, "Add an insurance")
    fill(page, insurer="Humber Mutual", starts=localdate() - timedelta(1), ends=localdate() + timedelta(300))
    press(page, "Save")
    page.goto("/")
    follow(page, "The first hunt")
    plan_hunt(season)
    page.goto("/")
    left = page.locator("section", has=page.get_by_role("heading", name="Setting up the club")).locator("li")
    assert left.all_inner_texts() == ["Backups"]


def test_a_newcomer_comes_from_an_empty_database_to_a_planned_hunt_without_javascript(
    page_of: Opener,
) -> None:
    _play(Season(page_of, javascript=False))


@pytest.mark.long
def test_the_same_with_javascript(page_of: Opener) -> None:
    _play(Season(page_of, javascript=True))


def test_the_pages_before_anybody_has_an_account_are_open_to_all(
    page_of: Opener, faults: Callable[[Page], list[str]]
) -> None:
    """The access matrix has no world in which nobody has an account, so axe meets these two here."""
    page = page_of(None, viewport=PHONE)
    for address in ("/", reverse("set_up_begin", args=[new_key(at=now())])):
        page.goto(address)
        assert faults(page) == []
