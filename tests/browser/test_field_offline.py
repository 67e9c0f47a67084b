"""The field page without a network: opened at the gate, used in the field, and everything arrives exactly once."""

from collections.abc import Callable
from uuid import uuid4

import pytest
from playwright.sync_api import Page, Response, Route, expect

from finds.models import Find
from hunts.models import Hole, HolePhoto, Hunt, Incident, IncidentPhoto
from hunts.states import HoleState
from people.models import User
from tests import make, make_field, make_kit
from tests.browser.field_phone import at_the_gate, hunt, log_hole, open_page, phone_of, picture, state
from tests.browser.storm_scripts import MODULE

Phone = Callable[..., Page]
__all__ = ["hunt", "phone_of"]


def test_hole_with_photograph_made_offline_survives_a_closed_page_and_arrives_once(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = at_the_gate(phone_of(member), hunt)
    context = page.context
    context.set_offline(True)
    log_hole(page, photo=picture())
    state(page, "1 stored on this phone, 1 photograph to go")
    page.close()
    page = open_page(context)
    state(page, "1 stored on this phone, 1 photograph to go")
    assert not Hole.objects.exists()
    context.set_offline(False)
    state(page, "All sent")
    hole = Hole.objects.get()
    assert (hole.depth_cm, hole.target_id, hole.outcome, hole.state) == (15, 50, "scrap", HoleState.FILLED)
    assert (hole.digger, hole.hunt, hole.placing) == (member, hunt, "inside")
    assert HolePhoto.objects.get().hole == hole
    page.reload()
    state(page, "All sent")
    assert Hole.objects.count() == HolePhoto.objects.count() == 1


def test_incident_with_photographs_made_offline_survives_a_closed_page_and_arrives_once(
    phone_of: Phone, hunt: Hunt, member: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A gap in a hedge, nothing dug. A server that has no place for its photographs yet has one at the next try."""
    page = at_the_gate(phone_of(member), hunt)
    page.context.set_offline(True)
    page.get_by_role("link", name="Incident", exact=True).click()
    page.get_by_label("What happened").select_option("gate")
    page.get_by_label("In a few words").fill("A gap in the hedge by the trough")
    both = [picture("gap.jpg"), picture("trough.jpg") | {"buffer": make.photo_bytes("#664422")}]
    page.get_by_label("Photographs", exact=True).set_input_files(both)
    expect(page.get_by_text("nobody goes nearer for a picture")).to_be_visible()
    page.get_by_role("button", name="Save the incident").click()
    state(page, "1 stored on this phone, 2 photographs to go")
    context = page.context
    page.close()
    page = open_page(context)
    with monkeypatch.context() as before:
        before.setattr("field.photos._owner", lambda upload, by: None)
        context.set_offline(False)
        state(page, "2 photographs to go, 2 need attention")
    assert (Incident.objects.count(), IncidentPhoto.objects.count()) == (1, 0)
    page.goto("/field/#/queue")
    again = page.get_by_role("button", name="Try again")
    for left in (1, 0):
        again.first.click()
        expect(again).to_have_count(left)
    state(page, "All sent")
    page.reload()
    state(page, "All sent")
    assert [row.incident for row in IncidentPhoto.objects.all()] == [Incident.objects.get()] * 2


ADD = """async (rows) => {
  const [records, pack, session] = await Promise.all(["records", "pack", "session"].map(MODULE));
  const now = await pack.current();
  for (const row of rows) await records.add(row, now);
  session.tell("saved");
}""".replace("MODULE", MODULE)
ANSWERS_TAKE = """(late_ms) => {
  const ask = window.fetch;
  let shown = Date.now();
  Date.now = () => shown;
  window.fetch = async (...asked) => {
    const answer = await ask(...asked);
    shown += late_ms;
    return answer;
  };
}"""


@pytest.mark.parametrize(("late_ms", "portions"), [(0, [5, 7]), (20_000, [5, 2, 1, 1, 1, 1, 1])])
def test_records_go_in_portions_larger_where_answers_are_quick_and_smaller_where_they_are_slow(
    phone_of: Phone, hunt: Hunt, member: User, late_ms: int, portions: list[int]
) -> None:
    page = at_the_gate(phone_of(member), hunt)
    page.evaluate(ANSWERS_TAKE, late_ms)
    came: list[int] = []

    def count(answer: Response) -> None:
        """An answered sending: what the page tries without a network is none."""
        if answer.url.endswith("/field/records/"):
            came.append(len(answer.request.post_data_json["records"]))

    page.on("response", count)
    page.context.set_offline(True)
    page.evaluate(ADD, [make_field.hole(hunt, key=uuid4()) for _ in range(12)])
    state(page, "12 stored on this phone")
    page.context.set_offline(False)
    state(page, "All sent")
    assert (came, Hole.objects.count()) == (portions, 12)


def test_an_answer_lost_after_the_server_stored_it_makes_no_second_hole(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    page = at_the_gate(phone_of(member), hunt)
    lost = []

    def lose(route: Route) -> None:
        route.fetch()  # the server has it
        lost.append(route.request.post_data_json)
        route.abort("connectionreset")

    page.route("**/field/records/", lose, times=1)
    log_hole(page)
    state(page, "1 stored on this phone")
    assert Hole.objects.count() == len(lost) == 1
    page.goto("/field/#/queue")
    page.get_by_role("button", name="Send now").click()
    state(page, "All sent")
    assert Hole.objects.count() == 1


def test_everything_recorded_in_a_day_without_signal_is_stored_at_its_end(
    phone_of: Phone, hunt: Hunt, member: User
) -> None:
    make_kit.kit(member)
    page = at_the_gate(phone_of(member), hunt)
    page.context.set_offline(True)
    log_hole(page, outcome="Find kept", filled=False)
    page.get_by_role("link", name="Record the find of this hole").click()
    page.get_by_label("What is it").fill("buckle")
    page.get_by_role("button", name="How many: 1 more").click()
    page.get_by_label("Photograph", exact=True).set_input_files(picture("buckle.jpg"))
    page.get_by_role("button", name="Save the find").click()
    page.get_by_role("link", name="My holes not filled: 1").click()
    page.get_by_role("button", name="Filled").click()
    expect(page.get_by_text("All your holes on this hunt are filled")).to_be_visible()
    page.get_by_role("link", name="Home").click()
    page.get_by_role("link", name="Incident", exact=True).click()
    page.get_by_label("What happened").select_option("stock")
    page.get_by_label("In a few words").fill("Heifers through the gap in the hedge")
    page.get_by_role("button", name="Save the incident").click()
    page.get_by_role("link", name="Sign out of the hunt").click()
    page.get_by_role("button", name="Sign out: I am leaving").click()
    state(page, "5 stored on this phone, 1 photograph to go")
    page.context.set_offline(False)
    state(page, "All sent")
    hole, find = Hole.objects.get(), Find.objects.get()
    assert (hole.state, find.hole, find.object_type, find.count) == (HoleState.FILLED, hole, "buckle", 2)
    assert find.photos.count() == 1
    assert Incident.objects.get().kind == "stock"
    hunt.refresh_from_db()
    assert not hunt.sign_ups.get(user=member).attendance.is_out
