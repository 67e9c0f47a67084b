"""The field page in the member's own language."""

from collections.abc import Callable

from playwright.sync_api import Page, expect

from hunts.models import Hole, Hunt
from people.models import User
from tests.browser.field_phone import hunt, open_page, phone_of, state, until

Phone = Callable[..., Page]
__all__ = ["hunt", "phone_of"]

WAITS = "navigator.serviceWorker.ready.then((it) => it.waiting !== null)"


def test_dutch_member_reads_and_records_in_dutch_also_without_a_network(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    member.language = "nl"
    member.save(update_fields=["language"])
    page = phone_of(member)
    expect(page.get_by_role("link", name="Gat", exact=True)).to_be_visible()
    assert page.evaluate("navigator.serviceWorker.ready.then((it) => Boolean(it.active))")
    state(page, "Alles verstuurd")
    context = page.context
    context.set_offline(True)
    page.close()
    page = open_page(context)
    for name in ("Vondst", "Bodemmeting", "Voorval", "Stop: botten, explosieven, depot", "Waar ik ben"):
        expect(page.get_by_role("link", name=name, exact=True)).to_be_visible()
    assert page.locator("html").get_attribute("lang") == "nl"
    page.get_by_role("link", name="Gat", exact=True).click()
    page.get_by_label("Schroot, meegenomen").check()
    page.get_by_role("button", name="Diepte: 5 meer").click()
    page.get_by_role("button", name="Bewaren: gat is gedicht").click()
    expect(page.get_by_text("Bewaard op deze telefoon.", exact=True)).to_be_visible()
    state(page, "1 bewaard op deze telefoon")
    expect(page.get_by_text("1 vastlegging van jou op deze telefoon.")).to_be_visible()
    context.set_offline(False)
    state(page, "Alles verstuurd")
    assert Hole.objects.get().digger == member


def test_who_changes_back_to_english_gets_the_page_in_it_at_the_next_quiet_moment(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    """The worker keeps the Dutch page until it hears of another version; a language is a version of its own."""
    member.language = "nl"
    member.save(update_fields=["language"])
    page = phone_of(member)
    expect(page.get_by_role("link", name="Gat", exact=True)).to_be_visible()
    assert page.evaluate("navigator.serviceWorker.ready.then((it) => it.active.scriptURL)")
    state(page, "Alles verstuurd")
    page.get_by_role("link", name="Voorval", exact=True).click()
    page.get_by_label("In een paar woorden").fill("Het hek stond open")
    member.language = "en"
    member.save(update_fields=["language"])
    page.evaluate("navigator.serviceWorker.ready.then((it) => it.update().then(() => null))")
    until(lambda: page.evaluate(WAITS), page)
    expect(page.get_by_label("In een paar woorden")).to_have_value("Het hek stond open")
    page.get_by_role("link", name="Begin").click()
    expect(page.get_by_role("link", name="Hole", exact=True)).to_be_visible()
    assert page.locator("html").get_attribute("lang") == "en"
    state(page, "All sent")
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_role("link", name="Ground reading", exact=True)).to_be_visible()
