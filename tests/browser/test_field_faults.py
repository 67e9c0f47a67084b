"""What goes wrong in a field: nothing that was recorded is lost, doubled or shown to somebody else."""

import hashlib
from collections.abc import Callable
from datetime import timedelta
from io import BytesIO
from typing import Any

import numpy as np
from django.utils.timezone import localtime, now
from PIL import Image
from playwright.sync_api import Page, Route, expect

from field.models import PhoneRecord
from hunts.models import Hole, HolePhoto, Hunt
from hunts.states import HuntState
from people.models import User
from tests import make
from tests.browser.field_phone import (
    at_the_gate,
    hunt,
    log_hole,
    open_page,
    phone_of,
    picture,
    sign_in_as,
    state,
    until,
)

Phone = Callable[..., Page]
__all__ = ["hunt", "phone_of"]

PACKS = """async () => {
  const store = await import("/static/js/field/store.js");
  return (await store.all("packs")).map((pack) => JSON.stringify(pack));
}"""


def offline_hole(page: Page, hunt: Hunt, **entered: Any) -> None:
    at_the_gate(page, hunt)
    page.context.set_offline(True)
    log_hole(page, **entered)


def test_signed_out_meanwhile_the_record_waits_and_goes_once_somebody_signs_in(
    phone_of: Phone, hunt: Hunt, member: User, live_server: Any
) -> None:
    page = phone_of(member)
    offline_hole(page, hunt)
    page.context.clear_cookies()
    page.context.set_offline(False)
    state(page, "1 stored on this phone · sign in to send")
    expect(page.get_by_text("the land, lanes and people were taken off this phone")).to_be_visible()
    log_hole(page)  # recording goes on
    assert not Hole.objects.exists()
    page.get_by_role("link", name="Sign in to send", exact=True).click()
    page.get_by_label("E-mail").fill(member.email)
    page.get_by_label("Password").fill(make.PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    state(page, "All sent")
    assert Hole.objects.filter(digger=member).count() == 2


def test_signed_out_the_land_and_the_people_leave_the_phone(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    hunt.leader.phone = "01632 960123"
    hunt.leader.save()
    page = at_the_gate(phone_of(member), hunt)
    assert "960123" in "".join(page.evaluate(PACKS))
    page.context.clear_cookies()
    page.reload()
    expect(page.get_by_text("were taken off this phone")).to_be_visible()
    (left,) = page.evaluate(PACKS)
    assert "960123" not in left
    assert "coordinates" not in left


def test_a_phone_that_changes_hands_shows_nobody_the_others_records(
    phone_of: Phone, hunt: Hunt, member: User, live_server: Any
) -> None:
    other = make.person(name="Ola Saltwort")
    make.sign_up(hunt, other)
    page = phone_of(member)
    offline_hole(page, hunt)
    page.context.clear_cookies()
    sign_in_as(page.context, other, live_server.url)
    page.context.set_offline(False)
    page.reload()
    expect(page.get_by_text("1 record of somebody else on this phone")).to_be_visible()
    state(page, "All sent")
    page.goto("/field/#/queue")
    expect(page.get_by_text("Everything on this phone was sent.")).to_be_visible()
    assert not Hole.objects.exists()
    sign_in_as(page.context, member, live_server.url)
    page.goto("/field/")
    page.reload()
    until(Hole.objects.filter(digger=member).exists, page)
    state(page, "All sent")


def test_an_ended_membership_wipes_the_phone_but_not_what_was_not_sent(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = phone_of(member)
    offline_hole(page, hunt)
    member.memberships.all().delete()
    page.context.set_offline(False)
    state(page, "1 stored on this phone · sign in to send")
    assert page.evaluate(PACKS) == []
    page.goto("/field/#/queue")
    expect(page.get_by_text("Your membership has ended")).to_be_visible()
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save what is not sent to a file").click()
    assert b'"kind": "hole"' in saved.value.path().read_bytes()


def test_hunt_closed_meanwhile_parks_the_record_with_the_reason_and_a_way_on(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = phone_of(member)
    offline_hole(page, hunt)
    Hunt.objects.filter(pk=hunt.pk).update(state=HuntState.CLOSED)
    page.context.set_offline(False)
    state(page, "1 needs attention")
    page.goto("/field/#/queue")
    expect(page.get_by_text("Ask the hunt’s leader to let it in.")).to_be_visible()
    expect(page.get_by_role("link", name="Settle it on the club's page")).to_be_visible()
    assert PhoneRecord.objects.get().state == "parked"
    assert not Hole.objects.exists()
    Hunt.objects.filter(pk=hunt.pk).update(state=HuntState.RUNNING)
    page.get_by_role("button", name="Try again").click()
    state(page, "All sent")
    assert Hole.objects.count() == 1


def test_position_refused_says_what_to_do_and_the_hole_goes_down_with_words(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = at_the_gate(phone_of(member, permissions=[], geolocation=None), hunt)
    page.get_by_role("link", name="Hole", exact=True).click()
    expect(page.get_by_text("This page may not use your position")).to_be_visible()
    page.get_by_text("No position, or a wrong one?").click()
    page.get_by_label("Or where").fill("53.6009, 0.1515")
    page.get_by_label("Nothing recovered").check()
    page.get_by_role("button", name="Depth: 5 more").click()
    page.get_by_role("button", name="Save: hole is filled").click()
    until(Hole.objects.filter(placing="inside").exists, page)
    state(page, "All sent")


def test_two_tabs_send_one_record_once(phone_of: Phone, hunt: Hunt, member: User) -> None:
    page = phone_of(member)
    offline_hole(page, hunt)
    second = open_page(page.context)
    state(second, "1 stored on this phone")
    page.context.set_offline(False)
    state(page, "All sent")
    state(second, "All sent")
    assert Hole.objects.count() == 1
    assert PhoneRecord.objects.count() == 1


def test_a_phone_whose_clock_is_a_day_ahead_dates_its_holes_by_the_servers(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = phone_of(member)
    page.clock.install(time=now() + timedelta(days=1))
    page.goto("/field/")
    page.reload()
    offline_hole(page, hunt)
    page.context.set_offline(False)
    state(page, "All sent")
    hole = Hole.objects.get()
    assert localtime(hole.dug_at).date() == hunt.on
    assert abs(hole.dug_at - now()) < timedelta(minutes=2)


def noise(side: int) -> bytes:
    """A JPEG that does not compress: about a megabyte for 900 pixels."""
    out = BytesIO()
    pixels = np.random.default_rng(7).integers(0, 255, (side, side, 3), dtype=np.uint8)
    Image.fromarray(pixels).save(out, "JPEG", quality=95)
    return out.getvalue()


def test_a_photograph_broken_off_half_way_goes_on_where_it_stopped(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    data = noise(900)
    page = phone_of(member)
    offline_hole(page, hunt, photo={"name": "big.jpg", "mimeType": "image/jpeg", "buffer": data})
    offsets: list[int] = []

    def break_third(route: Route) -> None:
        offsets.append(int(route.request.headers.get("upload-offset", -1)))
        if len(offsets) == 3:
            route.abort("connectionreset")
        else:
            route.continue_()

    page.route("**/field/photos/*/", break_third)
    page.context.set_offline(False)
    state(page, "1 photograph to go")
    assert Hole.objects.count() == 1, "the text does not wait for the photograph"
    page.goto("/field/#/queue")
    page.get_by_role("button", name="Send now").click()
    state(page, "All sent", timeout=30_000)
    sent = [offset for offset in offsets if offset >= 0]
    assert sent[2] == sent[3] > 0, "the part that was lost is sent again, and nothing before it"
    assert sent == sorted(sent)
    photo = HolePhoto.objects.get()
    assert photo.hole == Hole.objects.get()
    assert hashlib.sha256(data).hexdigest()  # the server compared it with what the phone said
    assert PhoneRecord.objects.count() == 1


FULL = """() => {
  const put = IDBObjectStore.prototype.put;
  window.freed = () => void (IDBObjectStore.prototype.put = put);
  const over = new WeakSet();
  IDBObjectStore.prototype.put = function () {
    if (over.has(this.transaction)) return null; // it was given up already
    over.add(this.transaction);
    const asked = put.apply(this, arguments);
    Object.defineProperty(this.transaction, "error", { value: new DOMException("no room", "QuotaExceededError") });
    this.transaction.abort();
    return asked;
  };
}"""
"""How a transaction ends on a full disk (Indexed Database API 3.0, 5.4): aborted, with this error."""


def test_a_full_phone_says_so_and_what_was_entered_stays_on_the_screen(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = at_the_gate(phone_of(member), hunt)
    page.get_by_role("link", name="Hole", exact=True).click()
    page.get_by_label("Nothing recovered").check()
    page.get_by_role("button", name="Depth: 5 more").click()
    page.evaluate(FULL)
    page.get_by_role("button", name="Save: hole is filled").click()
    expect(page.get_by_role("alert")).to_contain_text("no room left, so this is NOT kept yet")
    expect(page.get_by_label("Depth (cm)")).to_have_value("10")
    page.evaluate("window.freed()")
    page.get_by_role("button", name="Save: hole is filled").click()
    until(Hole.objects.exists, page)
    assert Hole.objects.count() == 1


NO_ROOM_FOR_PHOTOGRAPHS = """
const put = IDBObjectStore.prototype.put;
IDBObjectStore.prototype.put = function (row) {
  if (row.blob) throw new DOMException("no room", "QuotaExceededError");
  return put.apply(this, arguments);
};
"""


def test_a_phone_with_no_room_for_a_photograph_keeps_the_record(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = phone_of(member)
    page.add_init_script(NO_ROOM_FOR_PHOTOGRAPHS)
    page.reload()
    at_the_gate(page, hunt)
    page.get_by_role("link", name="Hole", exact=True).click()
    page.get_by_label("Nothing recovered").check()
    page.get_by_role("button", name="Depth: 5 more").click()
    page.get_by_text("Photographs, notes").click()
    page.get_by_label("Before digging").set_input_files(picture())
    page.get_by_role("button", name="Save: hole is filled").click()
    expect(page.get_by_text("has no room for its photographs")).to_be_visible()
    until(Hole.objects.exists, page)


def test_past_its_day_the_hunt_leaves_the_phone_and_what_was_not_sent_stays(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = phone_of(member)
    offline_hole(page, hunt)
    page.clock.install(time=now() + timedelta(days=1))
    page.reload()
    state(page, "1 stored on this phone")
    expect(page.get_by_role("link", name="Hole", exact=True)).to_be_visible()  # its clock may be a day out
    page.clock.install(time=now() + timedelta(days=3))
    page.reload()
    state(page, "1 stored on this phone")
    expect(page.get_by_text("No hunt is stored on this phone.", exact=False).first).to_be_visible()
    assert page.evaluate(PACKS) == []


def test_signing_out_on_any_page_takes_the_hunt_off_the_phone_and_keeps_what_was_not_sent(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = phone_of(member)
    offline_hole(page, hunt)
    page.route("**/field/records/", lambda route: route.abort())
    page.context.set_offline(False)
    page.goto("/")
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")
    page.goto("/field/")
    expect(page.get_by_text("1 record of somebody else on this phone")).to_be_visible()
    stores = (
        "() => indexedDB.databases().then(all => all.map(each => each.name.replace('stubble-field-', '')))"
    )
    for account in page.evaluate(stores):
        page.evaluate(
            "async account => (await import('/static/js/field/store.js')).open(account).then(() => 1)",
            account,
        )
    assert page.evaluate(PACKS) == []
