"""The field page's screens: few taps, large letters, every reader, a newer version, and nothing half of one."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from field import shell
from hunts.models import GroundReading, Hole, Hunt
from people.models import User
from tests import EVERYTHING, make, make_kit
from tests.browser.axe import COLOURS, WCAG, violations
from tests.browser.field_phone import (
    SMALL,
    at_the_gate,
    hunt,
    inside,
    log_hole,
    open_page,
    phone_of,
    state,
    until,
)
from tests.browser.keyboard import keyboard_faults
from tests.browser.page_faults import page_faults, set_letters

Phone = Callable[..., Page]
__all__ = ["hunt", "phone_of"]

SCREENS = [
    "", "hole", "find", "reading", "incident", "stop", "stop/ordnance", "holes", "last", "where", "kit", "hunt",
    "queue", "out",
]  # fmt: skip
LANDSCAPE = {"width": 640, "height": 360}


WAITS = "() => navigator.serviceWorker.ready.then((it) => it.waiting !== null)"
REFUSED = """() => navigator.serviceWorker.ready.then(async (it) => {
  await it.update();
  const next = it.installing;
  if (next) await new Promise((done) => next.addEventListener("statechange", done, { once: true }));
  return next ? next.state : "none";
})"""


def go_to(page: Page, name: str) -> None:
    page.evaluate("hash => { location.hash = hash; }", f"#/{name}")
    expect(page.locator("main > h1")).to_be_focused()
    expect(page.locator("main > section > *").first).to_be_attached()


def screen_faults(page: Page) -> list[str]:
    """All rules by day on the small phone, colours in the dark, its width turned and enlarged, and each control."""
    page.set_viewport_size(SMALL)
    found = [*violations(page, WCAG), *page_faults(page)]
    page.emulate_media(color_scheme="dark")
    found += [f"dark {line}" for line in violations(page, WCAG if EVERYTHING else COLOURS)]
    page.emulate_media(color_scheme="light")
    page.set_viewport_size(LANDSCAPE)
    found += [
        f"on its side {line}"
        for line in [*(violations(page, WCAG) if EVERYTHING else []), *page_faults(page)]
    ]
    page.set_viewport_size(SMALL)
    set_letters(page, 32)
    found += [
        f"large {line}" for line in [*(violations(page, WCAG) if EVERYTHING else []), *page_faults(page)]
    ]
    set_letters(page, 16)
    return found + keyboard_faults(page, from_top=False)


@pytest.fixture
def furnished(hunt: Hunt, member: User) -> Hunt:
    """A hunt with a machine, bench readings, a depth limit and a hole that is not filled."""
    kit = make_kit.kit(member)
    make_kit.set_up(hunt, kit)
    make.hole(hunt, member)
    assert hunt.permission is not None
    hunt.permission.depth_limit_cm = 30
    hunt.permission.save()
    return hunt


def test_every_screen_stands_up_to_axe_fits_and_is_used_by_keys(
    phone_of: Phone, furnished: Hunt, member: User
) -> None:
    page = at_the_gate(phone_of(member), furnished)
    log_hole(page)
    found = []
    for name in SCREENS:
        go_to(page, name)
        found += screen_faults(page)
    assert found == []


def test_everything_to_press_is_at_least_64_pixels(phone_of: Phone, furnished: Hunt, member: User) -> None:
    page = at_the_gate(phone_of(member), furnished)
    low = "nodes => nodes.filter(n => n.offsetHeight && n.offsetHeight < 64).map(n => n.outerHTML)"
    for name in SCREENS:
        go_to(page, name)
        assert page.locator("main :is(button, .button, .taps label)").evaluate_all(low) == [], name


def test_a_hole_takes_at_most_seven_taps(phone_of: Phone, hunt: Hunt, member: User) -> None:
    page = at_the_gate(phone_of(member), hunt)
    page.evaluate("window.taps = 0; addEventListener('pointerdown', () => window.taps++, true)")
    log_hole(page)
    assert page.evaluate("window.taps") <= 7
    until(Hole.objects.filter(depth_cm=15, target_id=50).exists, page)


def test_a_drill_is_two_taps_away_without_a_network_and_says_the_place_large(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = at_the_gate(phone_of(member), hunt)
    page.context.set_offline(True)
    page.get_by_role("link", name=re.compile("^Stop")).click()
    page.get_by_role("link", name="Anything that may explode").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Anything that may explode")
    place = page.locator(".emergency .ref").first
    expect(place).to_have_text(re.compile(r"^[A-Z]{2} \d{4} \d{4}$"))
    assert place.bounding_box()["y"] < SMALL["height"] / 2  # type: ignore[index]
    assert float(place.evaluate("node => getComputedStyle(node).fontSize").removesuffix("px")) >= 24
    expect(page.get_by_role("link", name="Emergency: call 999")).to_have_attribute("href", "tel:999")


def test_the_drills_are_there_for_a_phone_that_nobody_signed_in_on(phone_of: Phone) -> None:
    page = phone_of(None)
    page.get_by_role("link", name=re.compile("^Stop")).click()
    page.get_by_role("link", name="Bones that may be human").click()
    expect(page.get_by_text("Do this")).to_be_visible()


def test_a_ground_reading_asks_what_the_page_asks(phone_of: Phone, furnished: Hunt, member: User) -> None:
    page = at_the_gate(phone_of(member), furnished)
    page.get_by_role("link", name="Ground reading").click()
    page.get_by_label("What ground").select_option(index=1)
    page.get_by_label("Ground setting shown", exact=True).fill("41.5")
    page.get_by_role("button", name="Save the reading").click()
    until(GroundReading.objects.filter(value="41.5", scale="phase 0 to 99").exists, page)


def test_an_entry_is_changed_in_place_before_it_is_sent_and_corrected_afterwards(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = at_the_gate(phone_of(member), hunt)
    page.context.set_offline(True)
    log_hole(page)
    for offline, depth in ((True, "20"), (False, "25")):
        page.get_by_role("link", name="Correct the last entry").click()
        page.get_by_role("link", name=re.compile("^Last: Hole")).click()
        page.get_by_label("Depth (cm)").fill(depth)
        page.get_by_role("button", name="Save the change").click()
        expect(page.get_by_text("Kept on this phone.", exact=True)).to_be_visible()
        if offline:
            state(page, "1 stored on this phone")
            page.context.set_offline(False)
        until(Hole.objects.filter(depth_cm=int(depth)).exists, page)
    assert Hole.objects.count() == 1


# Does the phone's own store hold this word among what is no record?
KEEPS = """async (word) => {
  const done = (asked) => new Promise((yes, no) => { asked.onsuccess = () => yes(asked.result); asked.onerror = no; });
  for (const { name } of await indexedDB.databases()) {
    const store = await done(indexedDB.open(name));
    const has = store.objectStoreNames.contains("meta");
    const rows = has ? await done(store.transaction("meta").objectStore("meta").getAll()) : [];
    store.close();
    if (JSON.stringify(rows).includes(word)) return true;
  }
  return false;
}"""


def test_what_was_typed_is_there_again_after_the_page_was_closed(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = at_the_gate(phone_of(member), hunt)
    context = page.context
    page.get_by_role("link", name="Find", exact=True).click()
    page.get_by_label("What is it").fill("thimble")
    until(lambda: page.evaluate(KEEPS, "thimble"), page)  # a moment after the last key
    page.close()
    page = open_page(context)
    page.get_by_role("link", name="Find", exact=True).click()
    expect(page.get_by_label("What is it")).to_have_value("thimble")


def test_a_newer_version_takes_over_whole_and_not_while_somebody_types(
    phone_of: Phone, hunt: Hunt, member: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = at_the_gate(phone_of(member), hunt)
    caches = "() => caches.keys().then(names => names.filter(name => name.startsWith('field-')))"
    old, files = shell.shell()
    assert page.evaluate(caches) == [f"field-{old}"]
    page.get_by_role("link", name="Incident", exact=True).click()
    page.get_by_label("In a few words").fill("A gate was open")
    monkeypatch.setattr(shell, "shell", lambda: ("0123456789abcdef", files))
    page.evaluate("() => navigator.serviceWorker.ready.then((it) => it.update())")
    until(lambda: page.evaluate(WAITS), page)
    expect(page.get_by_label("In a few words")).to_have_value("A gate was open")
    assert sorted(page.evaluate(caches)) == sorted([f"field-{old}", "field-0123456789abcdef"])
    with page.expect_event(
        "load"
    ):  # the newer page comes by itself, though this one installed the first worker
        page.get_by_role("link", name="Home").click()
    until(lambda: page.evaluate(caches) == ["field-0123456789abcdef"], page)
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_role("link", name="Hole", exact=True)).to_be_visible()


def test_a_file_of_another_version_is_never_stored(
    phone_of: Phone, hunt: Hunt, member: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A page fetched while the club's server is being upgraded: one digest is not what the worker was told."""
    page = at_the_gate(phone_of(member), hunt)
    old, files = shell.shell()
    torn = [{**files[0], "integrity": "sha256-" + "A" * 43 + "="}, *files[1:]]
    monkeypatch.setattr(shell, "shell", lambda: ("fedcba9876543210", torn))
    assert page.evaluate(REFUSED) == "redundant"
    assert not page.evaluate(WAITS)
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_role("link", name="Hole", exact=True)).to_be_visible()
    assert f"field-{old}" in page.evaluate("() => caches.keys()")


def test_past_the_page_a_link_without_signal_leads_back_to_it(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = at_the_gate(phone_of(member), hunt)
    page.reload()
    page.context.set_offline(True)
    page.goto("/field/parked/")
    expect(page.get_by_text("That page needs a signal.")).to_be_visible()


def test_the_track_is_recorded_while_the_page_is_open_and_sent(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = at_the_gate(phone_of(member), hunt)
    page.get_by_role("button", name="Record my track").click()
    spot = inside(hunt)
    for step in range(4):
        page.wait_for_timeout(1100)
        walked = {**spot, "latitude": spot["latitude"] + step * 0.00004}
        page.context.set_geolocation(walked)
    page.wait_for_timeout(1100)
    expect(page.locator("[data-track]")).to_contain_text("recorded")
    page.get_by_role("button", name="Stop the track").click()
    until(lambda: hunt.tracks.filter(user=member).exists(), page)
