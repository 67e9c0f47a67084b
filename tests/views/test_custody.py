"""The pages of custody: where everything is, hand-overs on screen and by address, losses, boxes, returns."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import now

from finds import actions
from finds.actions.custody import first_holder
from finds.hand_over_links import hand_over_key
from finds.models import Find, HandOver
from finds.models.hand_over import Side
from people.models import User
from permissions.links import key_of
from permissions.models import LandholderLink
from reports.models import IssuedReport, LandholderAnswer
from tests import make
from tests.views.custody_world import read

pytestmark = pytest.mark.django_db
ClientOf = Callable[[User | None], Client]


@pytest.fixture
def hunt() -> Any:
    make.club()
    owner = make.landholder(name="Ada Warp")
    return make.hunt(make.site(owner=owner), on=make.days(-3), state="closed")


def kept(hunt: Any, finder: User, **fields: Any) -> Find:
    find = make.find(hunt, finder, **fields)
    first_holder(find, by=finder, at=now())
    return find


def proposed(finds: list[Find], by: User, **fields: Any) -> HandOver:
    said: dict[str, Any] = {"to_holder": "officer", "to_name": "Ida Drift", "purpose": "recording"}
    said |= {"capacity": "finder"} | fields
    return actions.propose_hand_over([f.pk for f in finds], by=by, at=now(), client_id=uuid4(), **said)


def address(row: HandOver, by: User, side: str = Side.RECEIVER, days: int = 30) -> str:
    expires = now() + timedelta(days)
    link = actions.make_hand_over_link(row.pk, side, by=by, at=now(), expires_at=expires, client_id=uuid4())
    return hand_over_key(link)


def holder(find: Find) -> str:
    return find.custody.order_by("-step")[0].to_holder


def said(row: HandOver, side: str = "receiver", **fields: Any) -> dict[str, Any]:
    return {"name": "Ida Drift", "agree": "on", "read_sha256": read(row, side)} | fields


def test_every_object_stands_on_the_list_once_with_its_holder(
    client_of: ClientOf, hunt, member, secretary
) -> None:
    finds = [kept(hunt, member) for _ in range(3)]
    actions.complete_hand_over(
        proposed(finds[:1], secretary, due_back=make.days(0)).pk, by=secretary, at=now(), evidence="receipt"
    )
    page = client_of(secretary).get(reverse("finds:custody_list"))
    assert [row["n"] for row in page.context["counts"]] == [2, 1]
    assert sorted(row.entry.find_id for row in page.context["rows"]) == [find.pk for find in finds]
    only = client_of(secretary).get(reverse("finds:custody_list"), {"holder": "authority"})
    assert [row.entry.find_id for row in only.context["rows"]] == [finds[0].pk]


def test_overdue_and_box_narrow_the_list(client_of: ClientOf, hunt, member, secretary) -> None:
    late, boxed, other = (kept(hunt, member) for _ in range(3))
    move = {"after_step": 1, "to_holder": "officer", "to_name": "Ida Drift", "purpose": "recording"}
    actions.hand_over(late.pk, by=secretary, at=now(), due_back=make.days(-1), **move)
    box = actions.save_box(
        None, by=secretary, at=now(), client_id=uuid4(), name="Iron 1", kept_at="Hut", kind="iron"
    )
    actions.into_box(box.pk, [boxed.number], by=secretary, at=now())
    client = client_of(secretary)
    page = client.get(reverse("finds:custody_list"), {"overdue": "on"})
    assert [row.entry.find_id for row in page.context["rows"]] == [late.pk]
    page = client.get(reverse("finds:custody_list"), {"box": box.pk})
    assert [(row.entry.find_id, row.box) for row in page.context["rows"]] == [(boxed.pk, "Iron 1")]
    assert other.pk in {
        row.entry.find_id for row in client.get(reverse("finds:custody_list")).context["rows"]
    }


def test_the_list_asks_no_more_for_many_objects(client_of: ClientOf, hunt, member, secretary) -> None:
    client, url = client_of(secretary), reverse("finds:custody_list")
    kept(hunt, member)
    client.get(url)
    with CaptureQueriesContext(connection) as few:
        client.get(url)
    for _ in range(12):
        kept(hunt, member)
    with CaptureQueriesContext(connection) as many:
        client.get(url)
    assert len(many) == len(few)


def test_a_members_list_and_ledger_do_not_name_the_landholder(
    client_of: ClientOf, hunt, member, secretary
) -> None:
    find = kept(hunt, member)
    move = {"after_step": 1, "to_holder": "landholder", "to_name": "Ada Warp", "purpose": "returned"}
    actions.hand_over(find.pk, by=secretary, at=now(), **move)
    for url in (reverse("finds:custody_list"), reverse("finds:detail", args=[find.pk])):
        assert "Ada Warp" not in client_of(member).get(url).content.decode()
        assert "The landholder" in client_of(member).get(url).content.decode()
        assert "Ada Warp" in client_of(secretary).get(url).content.decode()
    found = client_of(member).get(reverse("finds:custody_list"), {"q": "Warp"})
    assert found.context["rows"] == []


def test_a_hand_over_is_proposed_signed_by_both_on_one_screen_and_then_moves(
    client_of: ClientOf, hunt, member
) -> None:
    finds = [kept(hunt, member) for _ in range(2)]
    client = client_of(member)
    numbers = ", ".join(find.number for find in finds)
    form = client.get(reverse("finds:hand_over_new"), {"numbers": numbers}).context["form"]
    assert {f"condition_{find.pk}" for find in finds} <= set(form.fields)
    data = {"numbers": numbers, "to_holder": "officer", "to_name": "Ida Drift", "purpose": "recording"}
    data |= {"capacity": "finder", f"condition_{finds[0].pk}": "bent", "client_id": str(uuid4())}
    for _ in range(2):  # sent twice by a nervous thumb
        client.post(reverse("finds:hand_over_new"), data)
    row = HandOver.objects.get()
    for side in ("giver", "receiver"):
        url = reverse("finds:hand_over_sign", args=[row.pk, side])
        assert client.post(url, said(row, side)).status_code == 302
    assert [holder(find) for find in finds] == ["officer", "officer"]
    page = client.get(reverse("finds:hand_over", args=[row.pk])).content.decode()
    assert "Received" in page
    assert "bent" in page


def test_an_unknown_number_is_named_and_what_was_typed_stays(client_of: ClientOf, hunt, member) -> None:
    find = kept(hunt, member)
    data = {"numbers": f"{find.number}, F1999-0001", "to_holder": "officer", "to_name": "Ida Drift"}
    data |= {"purpose": "recording", "capacity": "finder"}
    page = client_of(member).post(reverse("finds:hand_over_new"), data).content.decode()
    assert "F1999-0001" in page
    assert 'value="Ida Drift"' in page
    assert not HandOver.objects.exists()


def test_the_receiver_signs_by_an_address_without_an_account(hunt, member, secretary) -> None:
    finds = [kept(hunt, member) for _ in range(2)]
    row = proposed(finds, secretary)
    client, code = Client(), address(row, secretary)
    page = client.get(reverse("finds:receive", args=[code]))
    assert page.status_code == 200
    lacks = row.items.get(find=finds[1])
    sent = said(row, missing=[lacks.pk], missing_words="not in the bag")
    assert client.post(reverse("finds:receive_sign", args=[code]), sent).status_code == 302
    assert [holder(find) for find in finds] == ["officer", "finder"]
    again = client.post(reverse("finds:receive_sign", args=[code]), sent)
    assert again.status_code in {200, 302}
    assert row.signatures.count() == 1
    assert (
        "Thank you: you have signed this"
        in client.get(reverse("finds:receive", args=[code])).content.decode()
    )


def test_the_receiver_must_say_what_is_wrong_with_what_is_ticked(hunt, member, secretary) -> None:
    finds = [kept(hunt, member) for _ in range(2)]
    row = proposed(finds, secretary)
    sent = said(row, missing=[row.items.all()[0].pk])
    page = Client().post(reverse("finds:receive_sign", args=[address(row, secretary)]), sent)
    assert "Say what is missing" in page.content.decode()
    assert {holder(find) for find in finds} == {"finder"}


def test_an_outdated_text_is_shown_again_and_not_signed(hunt, member, secretary) -> None:
    find = kept(hunt, member)
    row = proposed([find], secretary)
    code, sent = address(row, secretary), said(row)
    Find.objects.filter(pk=find.pk).update(object_type="brooch")
    page = Client().post(reverse("finds:receive_sign", args=[code]), sent, follow=True).content.decode()
    assert "Read it again" in page
    assert "brooch" in page
    assert holder(find) == "finder"


def test_the_receiver_may_refuse(hunt, member, secretary) -> None:
    find = kept(hunt, member)
    row = proposed([find], secretary)
    code = address(row, secretary)
    Client().post(reverse("finds:receive_refuse", args=[code]), {"why": "not ours"})
    row.refresh_from_db()
    assert (row.state, row.ended_why, holder(find)) == ("refused", "not ours", "finder")
    page = Client().get(reverse("finds:receive", args=[code])).content.decode()
    assert "there is nothing to sign" in page


@pytest.mark.parametrize("how", ["expired", "taken back", "altered", "of another kind"])
def test_an_address_that_does_not_work_shows_nothing(how: str, hunt, member, secretary) -> None:
    find = kept(hunt, member)
    row = proposed([find], secretary)
    code = address(row, secretary, days=-1 if how == "expired" else 30)
    if how == "taken back":
        actions.revoke_hand_over_link(row.links.get().pk, by=secretary, at=now())
    if how == "altered":
        code = code[:-3] + "abc"
    if how == "of another kind":
        owner = hunt.permission.consents.all()[0].landholder
        code = key_of(
            LandholderLink.objects.create(
                landholder=owner, made_at=now(), made_by=secretary, expires_at=now() + timedelta(3)
            )
        )
    page = Client().get(reverse("finds:receive", args=[code]))
    assert page.status_code == 410
    assert find.number not in page.content.decode()


def test_a_giver_cannot_refuse_for_the_receiver(hunt, member, secretary) -> None:
    row = proposed([kept(hunt, member)], secretary)
    code = address(row, secretary, side=Side.GIVER)
    Client().post(reverse("finds:receive_refuse", args=[code]), {"why": "no"})
    row.refresh_from_db()
    assert row.state == "proposed"


def test_a_loss_is_recorded_as_a_loss_and_a_day_to_come_is_refused(client_of: ClientOf, hunt, member) -> None:
    find = kept(hunt, member)
    client, url = client_of(member), reverse("finds:loss", args=[find.pk])
    data = {"after_step": "1", "what": "lost", "words": "gone from the tea tent", "reported_to": "owner"}
    page = client.post(url, data | {"happened_on": make.days(1).isoformat()}).content.decode()
    assert "has not come yet" in page
    assert "gone from the tea tent" in page
    assert client.post(url, data | {"happened_on": make.days(0).isoformat()}).status_code == 302
    assert holder(find) == "lost"
    assert "gone from the tea tent" in client.get(reverse("finds:detail", args=[find.pk])).content.decode()


def test_a_card_reading_needs_a_figure_or_dried_gel(client_of: ClientOf, secretary) -> None:
    make.club()
    box = actions.save_box(
        None,
        by=secretary,
        at=now(),
        client_id=uuid4(),
        name="Iron 1",
        kept_at="Hut",
        kind="iron",
        has_gel=True,
    )
    client, url = client_of(secretary), reverse("finds:box_read", args=[box.pk])
    assert "Give what the card says" in client.post(url, {"on": make.days(0).isoformat()}).content.decode()
    client.post(url, {"on": make.days(0).isoformat(), "humidity_percent": "25"})
    page = client.get(reverse("finds:box_list")).content.decode()
    assert "card says 25 %, the limit is 10 %" in page


def returned(client: Client, landholder: Any, going: list[Find], **fields: Any) -> Any:
    url = reverse("reports:returning", args=[landholder.pk])
    data = {"since": make.days(-30).isoformat(), "until": make.days(0).isoformat()}
    data |= {"going": [find.pk for find in going], "client_id": str(uuid4())} | fields
    return client.post(url, data)


def confirm(landholder: Any, secretary: User, report: IssuedReport, **fields: Any) -> Any:
    link = LandholderLink.objects.create(
        landholder=landholder, made_at=now(), made_by=secretary, expires_at=now() + timedelta(3)
    )
    url = reverse("reports:landholder_confirm", kwargs={"key": key_of(link), "pk": report.pk})
    return Client().post(url, {"received": "confirmed", "signed_name": "Ada Warp", "words": ""} | fields)


@pytest.fixture
def owner(hunt) -> Any:
    return hunt.permission.consents.all()[0].landholder


def test_a_returns_statement_for_a_time_moves_objects_when_it_is_confirmed(
    client_of: ClientOf, hunt, owner, member, secretary
) -> None:
    goes, stays = kept(hunt, member, object_type="buckle"), kept(hunt, member)
    assert returned(client_of(secretary), owner, [goes]).status_code == 302
    report = IssuedReport.objects.get()
    tables = {b["caption"]: b["rows"] for b in report.content["blocks"] if b["block"] == "Table"}
    assert [row[0] for row in tables["What goes back now"]] == [goes.number]
    assert [row[0] for row in tables["What does not go back now, and why"]] == [stays.number]
    assert holder(goes) == "finder"
    assert confirm(owner, secretary, report).status_code == 302
    assert (holder(goes), holder(stays)) == ("landholder", "finder")
    assert goes.custody.get(step=2).signature["sha256"] == report.content_sha256


def test_what_the_landholder_disputes_stays_a_question(
    client_of: ClientOf, hunt, owner, member, secretary
) -> None:
    one, other = kept(hunt, member), kept(hunt, member)
    returned(client_of(secretary), owner, [one, other])
    report = IssuedReport.objects.get()
    answer = {"received": "disputed", "words": "only one came", "missing": [other.number]}
    confirm(owner, secretary, report, **answer)
    assert (holder(one), holder(other)) == ("landholder", "finder")
    page = client_of(secretary).get(reverse("today")).content.decode()
    assert "Handed over but not received" in page
    assert "Landholders waiting for an answer" in page
    assert other.number in LandholderAnswer.objects.get().words


def test_a_dispute_that_names_nothing_moves_nothing(
    client_of: ClientOf, hunt, owner, member, secretary
) -> None:
    find = kept(hunt, member)
    returned(client_of(secretary), owner, [find])
    confirm(owner, secretary, IssuedReport.objects.get(), received="disputed", words="nothing came")
    assert holder(find) == "finder"
    assert HandOver.objects.get().state == "proposed"


def test_what_may_have_to_be_reported_is_not_offered_for_return(
    client_of: ClientOf, hunt, owner, member, secretary
) -> None:
    find = kept(hunt, member, locked=True)
    page = returned(client_of(secretary), owner, [find])
    assert page.status_code == 200
    assert not IssuedReport.objects.exists()
    assert not HandOver.objects.exists()
