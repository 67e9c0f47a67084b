"""One case on real pages, from a possible duty to an object that is home and a sheet that everybody has signed."""

import re
from typing import Any

from django.urls import reverse
from django.utils.timezone import localdate
from playwright.sync_api import Page, expect

from finds.models import Find
from people.rights import Role
from permissions.links import key_of
from tests import make
from tests.browser.conftest import Opener
from tests.browser.forms import fill, follow, photograph, press, says, unfold
from tests.views.world import World, build

TODAY = localdate().isoformat()
GRID = "TA 42448 13718"  # inside the world's site


def part(page: Page, summary: str) -> Any:
    """A folded part of the page, opened."""
    unfold(page, summary)
    return page.locator("details").filter(has=page.locator("summary", has_text=summary)).first


def possible_duty(finder: Page, world: World) -> Find:
    """Three silver pennies are recorded: the law may ask for a report, so a case opens and the place locks."""
    finder.goto(f"/finds/hunt/{world.hunt.pk}/record/")
    fill(finder, object_type="pennies", count=3, is_coin="yes", materials=["silver"], silver_percent=92)
    fill(finder, year_from=1205, year_to=1247, circumstances=["others_nearby"], position_text=GRID)
    fill(finder, photos=photograph("pennies.jpg", "#9a9a9a"))
    press(finder, "Record this find")
    says(finder, "Possible duty")
    says(finder, "Locked while a possible duty is looked into")
    return Find.objects.latest("pk")


def four_eyes(page_of: Opener, first: Page, address: str) -> None:
    """One of the committee proposes that nothing is owed and cannot agree with themselves; another does not agree."""
    first.goto(address)
    taking_up = part(first, "Take it up for review")
    taking_up.locator("[name=words]").fill("Three pennies of one reign: to be looked at by two.")
    taking_up.get_by_role("button").click()
    proposal = part(first, "Propose “no duty”")
    proposal.locator("[name=words]").fill("They look like modern tokens.")
    proposal.get_by_role("button", name="Sign first").click()
    expect(first.get_by_role("button", name="Sign second")).to_have_count(0)
    second = page_of(make.person(Role.COMMITTEE, name="Cy Dune"))
    second.goto(address)
    fill(second, agrees="no")
    second.locator("form[action$='second/'] [name=words]").fill("The letters are of the thirteenth century.")
    press(second, "Sign second")
    expect(second.locator("main")).to_contain_text("The letters are of the thirteenth century.")


def report(page: Page, address: str) -> None:
    """Issued, sent with its hash, and confirmed by the officer."""
    page.goto(address)
    follow(page, "Heritage report")
    page.get_by_role("button", name="Issue ").click()
    says(page, "is issued and frozen")
    follow(page, "Record that it was sent")
    page.locator("main form select[name=how]").select_option(index=1)
    page.locator("main form [name=to_name]").fill("Ida Drift, finds officer")
    press(page, "Record it")
    page.get_by_role("link", name="Record their answer").first.click()
    fill(page, reference="2026 T 17")
    press(page, "Record it")
    page.goto(address)
    expect(page.locator("header.page-head")).to_contain_text("Acknowledged")


def hand_over(page: Page, number: str, giver: str, to_holder: str, to_name: str) -> None:
    """Both sign on the screen; with the second signature the object moves."""
    page.goto("/finds/custody/new/")
    fill(page, numbers=number, to_holder=to_holder, to_name=to_name, purpose="the officer looks at it")
    press(page, "Go on to sign")
    for side, name in (("giver", giver), ("receiver", to_name)):
        form = page.locator(f"form[action$='{side}/']")
        form.locator("[name=name]").fill(name)
        for tick in form.locator("input[type=checkbox]:not([name=missing])").all():
            tick.check()
        press(page, f"Sign as {side}")
    expect(page.locator("header.page-head")).to_contain_text("Received")


def came_home(page: Page, secretary: Page, address: str, number: str) -> None:
    """The authority returns it, custody shows it with its finder, and only then can the case be closed."""
    page.goto(address)
    deciding = part(page, "The authority decided")
    deciding.locator("[name=decision]").select_option("returned")
    deciding.locator("[name=on]").fill(TODAY)
    deciding.locator("[name=words]").fill("Not wanted by any museum; returned to the finder.")
    deciding.get_by_role("button").click()
    closing = part(page, "Close")
    closing.locator("[name=words]").fill("All done.")
    closing.get_by_role("button").click()
    expect(page.locator("header.page-head")).not_to_contain_text("Closed")
    hand_over(secretary, number, "Ida Drift", "finder", "Mo Samphire")
    page.goto(address)
    closing = part(page, "Close")
    closing.locator("[name=words]").fill("It is home.")
    closing.get_by_role("button").click()
    expect(page.locator("header.page-head")).to_contain_text("Closed")


def settle(secretary: Page, find: Find, landholder: str) -> str:
    """Two opinions of value, a sheet under the terms of the day, frozen and sent; the landholder's address."""
    for valuer, low in (("Ida Drift", "600"), ("A. Hale", "640")):
        secretary.goto(f"/finds/{find.pk}/worth/")
        fill(secretary, valuer=valuer, method="seen in the hand", low=low)
        secretary.locator("form[action$='value/'] [name=on]").fill(TODAY)
        press(secretary, "Keep this value")
    secretary.goto("/settlements/new/")
    fill(secretary, basis="chosen", numbers=find.number)
    press(secretary, "Make the sheet")
    says(secretary, "620.00")
    secretary.get_by_role("button", name=re.compile("Freeze and send")).click()
    card = secretary.locator(".card").filter(has_text=landholder)
    card.locator("summary").first.click()
    return str(card.get_by_label("Address", exact=True).input_value())


def sign(page: Page, name: str) -> None:
    form = page.locator("form[action$='sign/']")
    form.locator("[name=name]").fill(name)
    for tick in form.locator("input[type=checkbox]").all():
        tick.check()
    form.get_by_role("button", name="Sign").first.click()


def both_sign(finder: Page, landholder: Page, secretary: Page, link: str) -> None:
    """The finder on their own pages, the landholder by a private address on a phone: each their half of 620."""
    finder.goto("/settlements/")
    finder.locator("main li a").first.click()
    says(finder, "310.00")
    sign(finder, "Mo Samphire")
    landholder.goto(link)
    says(landholder, "310.00")
    sign(landholder, "Ada Warp")
    secretary.goto("/settlements/")
    says(secretary, "all have signed")


def confirm(secretary: Page, landholder: Page, world: World, find: Find) -> None:
    """The statement of what became of everything is issued; the landholder reads it by the link and confirms."""
    secretary.goto(f"/reports/returns/{world.hunt.pk}/")
    secretary.get_by_role("button", name="Issue ").click()
    expect(secretary.locator(".hash")).to_contain_text("SHA-256")
    landholder.goto(reverse("reports:landholder", args=[key_of(world.link)]))
    landholder.get_by_role("link", name=re.compile("^Returns statement")).first.click()
    says(landholder, find.number)
    fill(landholder, received="confirmed", signed_name="Ada Warp")
    press(landholder, "Sign and send")
    says(landholder, "Your answer is kept")


def test_from_a_possible_duty_to_it_came_home(page_of: Opener) -> None:
    world = build()
    finder, committee, secretary = map(page_of, (world.member, world.committee, world.secretary))
    find = possible_duty(finder, world)
    address = f"/heritage/{find.cases.get().pk}/"
    four_eyes(page_of, committee, address)
    report(committee, address)
    hand_over(secretary, find.number, "Mo Samphire", "officer", "Ida Drift")
    came_home(committee, secretary, address, find.number)
    link = settle(secretary, find, "Ada Warp")
    landholder = page_of(None)
    both_sign(finder, landholder, secretary, link)
    confirm(secretary, landholder, world, find)
