"""The pages of values, sheets and papers say what they should, keep what was typed, and show each their own part."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import localdate, now

from finds.models import Find, Sheet
from hunts.models import Hunt
from people.models import User
from reports.actions import revoke_signer
from reports.models import Paper, PaperSignature, PaperSigner
from reports.paper_links import paper_key_of
from reports.sign_links import sign_key_of
from tests import make, make_settlement

ClientOf = Callable[[User | None], Client]


@pytest.fixture
def hunt(secretary: User, leader: User) -> Hunt:
    make.club()
    site = make.site(by=secretary, owner=make.landholder(name="Ada Warp"))
    return make.hunt(site, leader=leader)


@pytest.fixture
def brooch(hunt: Hunt, member: User, secretary: User) -> Find:
    return make_settlement.valued(make.find(hunt, member, object_type="brooch"), "1800", by=secretary)


@pytest.fixture
def sheet(brooch: Find, secretary: User) -> Sheet:
    return make_settlement.sheet([brooch], by=secretary)


def page(client: Client, view: str, *args: Any) -> str:
    return client.get(reverse(view, args=args)).content.decode()


def post(client: Client, view: str, *args: Any, **data: Any) -> Any:
    return client.post(reverse(view, args=args), data)


def test_a_bad_value_is_said_and_what_was_typed_stays(
    client_of: ClientOf, secretary: User, brooch: Find
) -> None:
    typed = {"on": localdate(), "valuer": "E. Voss", "method": "by eye", "low": "200", "high": "100"}
    html = post(client_of(secretary), "finds:valuation_add", brooch.pk, **typed).content.decode()
    assert "200.00 is above 100.00; give the lower figure first" in html
    assert 'value="E. Voss"' in html
    assert brooch.valuations.count() == 2


@pytest.mark.parametrize(("typed", "kept"), [("£1,250", "1250.00"), ("1250.5", "1250.50")])
def test_amounts_are_read_as_people_write_them(
    client_of: ClientOf, secretary: User, brooch: Find, typed: str, kept: str
) -> None:
    values = {"on": localdate(), "valuer": "X", "method": "by eye", "low": typed}
    assert post(client_of(secretary), "finds:valuation_add", brooch.pk, **values).status_code == 302
    assert f"{brooch.valuations.order_by('-pk')[0].low:.2f}" == kept


def test_a_comma_that_may_be_a_decimal_sign_is_asked_about(
    client_of: ClientOf, secretary: User, brooch: Find
) -> None:
    values = {"on": localdate(), "valuer": "X", "method": "by eye", "low": "1,43"}
    assert post(client_of(secretary), "finds:valuation_add", brooch.pk, **values).status_code == 200
    assert brooch.valuations.count() == 2


def test_a_value_of_tomorrow_is_refused(client_of: ClientOf, secretary: User, brooch: Find) -> None:
    values = {"on": localdate() + timedelta(1), "valuer": "X", "method": "by eye", "low": "5"}
    html = post(client_of(secretary), "finds:valuation_add", brooch.pk, **values).content.decode()
    assert "is still to come; give today or an earlier day" in html


def test_the_draft_shows_every_step(client_of: ClientOf, secretary: User, sheet: Sheet) -> None:
    html = page(client_of(secretary), "reports:sheet", sheet.pk)
    for words in (
        "Value of", "£1,800.00", "Sharing starts at", "Landholder, 50 % of that", "£900.00",
        "pays Ada Warp £900.00", "cut to whole pennies or cents (the smallest unit of the currency)",
    ):  # fmt: skip
        assert words in html


def test_what_stands_in_the_way_is_said(
    client_of: ClientOf, secretary: User, hunt: Hunt, member: User
) -> None:
    button = make.find(hunt, member)
    sheet = make_settlement.sheet([button], by=secretary)
    html = page(client_of(secretary), "reports:sheet", sheet.pk)
    assert f"{button.number} has no valuation; add one" in html
    assert "Freeze and send" not in html


def test_named_finds_that_are_not_on_record_are_named(client_of: ClientOf, secretary: User) -> None:
    make.club()
    html = post(
        client_of(secretary), "reports:sheet_new", basis="chosen", numbers="F1999-0001"
    ).content.decode()
    assert "No live find bears F1999-0001" in html


def test_a_hunt_makes_a_sheet_of_its_finds(
    client_of: ClientOf, secretary: User, brooch: Find, hunt: Hunt
) -> None:
    assert post(client_of(secretary), "reports:sheet_new", basis="hunt", hunt=hunt.pk).status_code == 302
    assert [row.find for row in Sheet.objects.get().rows.all()] == [brooch]


@pytest.mark.parametrize(("days", "found"), [(0, 1), (10, 0)])
def test_a_landholder_and_a_time_make_a_sheet(
    client_of: ClientOf, secretary: User, brooch: Find, days: int, found: int
) -> None:
    owner = brooch.site.parties.get().landholder
    first = localdate() + timedelta(days)
    data = {"basis": "landholder", "landholder": owner.pk, "first": first, "last": first}
    post(client_of(secretary), "reports:sheet_new", **data)
    assert Sheet.objects.count() == found


def test_a_sheet_is_sent_with_a_tagged_pdf_for_each(
    client_of: ClientOf, secretary: User, sheet: Sheet
) -> None:
    client = client_of(secretary)
    html = page(client, "reports:sheet", sheet.pk)
    read = html.split('name="read_sha256" value="')[1].split('"')[0]
    post(client, "reports:sheet_send", sheet.pk, days=30, read_sha256=read)
    sheet.refresh_from_db()
    assert sheet.state == "sent"
    for paper in Paper.objects.all():
        with paper.pdf.open("rb") as file:
            body = file.read()
        assert body.startswith(b"%PDF-")
        assert b"/MarkInfo" in body or b"StructTreeRoot" in body or b"/ObjStm" in body


def test_sums_read_before_a_change_are_not_sent(client_of: ClientOf, secretary: User, sheet: Sheet) -> None:
    post(client_of(secretary), "reports:sheet_send", sheet.pk, days=30, read_sha256="0" * 64)
    sheet.refresh_from_db()
    assert sheet.state == "draft"


def test_each_finder_sees_their_own_part_only(
    client_of: ClientOf, secretary: User, leader: User, member: User, brooch: Find, hunt: Hunt
) -> None:
    other = make_settlement.valued(make.find(hunt, leader, object_type="gold ring"), "5000", by=secretary)
    sheet = make_settlement.sent(make_settlement.sheet([brooch, other], by=secretary), by=secretary)
    client = client_of(member)
    mine, theirs = [signer.paper for signer in make_settlement.signers(sheet)[:2]]
    html = page(client, "reports:paper", mine.pk)
    assert brooch.number in html
    for word in (other.number, "gold ring", "5,000"):
        assert word not in html
    assert client.get(reverse("reports:paper", args=[theirs.pk])).status_code == 404
    assert client.get(reverse("reports:paper", args=[sheet.papers.get(party="").pk])).status_code == 404
    assert mine.number in page(client, "reports:sheet", sheet.pk)


def sign(client: Client, url: str, html: str, name: str) -> Any:
    read = html.split('name="read_sha256" value="')[1].split('"')[0]
    return client.post(url, {"name": name, "agree": "on", "read_sha256": read})


def test_the_finder_signs_by_account_and_the_landholder_by_address(
    client_of: ClientOf, secretary: User, member: User, sheet: Sheet
) -> None:
    make_settlement.sent(sheet, by=secretary)
    finder, owner = make_settlement.signers(sheet)
    client = client_of(member)
    html = page(client, "reports:paper", finder.paper_id)
    sign(client, reverse("reports:paper_sign", args=[finder.paper_id]), html, "Mo Samphire")
    outside, code = client_of(None), paper_key_of(owner)
    html = page(outside, "reports:by_paper", code)
    assert "£900.00" in html
    sign(outside, reverse("reports:by_paper_sign", args=[code]), html, "Ada Warp")
    sheet.refresh_from_db()
    assert (sheet.state, PaperSignature.objects.count()) == ("settled", 2)
    assert "Signed" in page(outside, "reports:by_paper", code)


def test_without_the_tick_nothing_is_signed_and_the_name_stays(
    client_of: ClientOf, secretary: User, sheet: Sheet
) -> None:
    make_settlement.sent(sheet, by=secretary)
    code = paper_key_of(make_settlement.signers(sheet)[1])
    html = post(client_of(None), "reports:by_paper_sign", code, name="Ada Warp").content.decode()
    assert "otherwise nothing is signed" in html
    assert 'value="Ada Warp"' in html
    assert not PaperSignature.objects.exists()


def test_an_outdated_text_says_so_and_has_no_form(
    client_of: ClientOf, secretary: User, sheet: Sheet, brooch: Find
) -> None:
    make_settlement.sent(sheet, by=secretary)
    make_settlement.valuation(brooch, "9", by=secretary)
    html = page(client_of(None), "reports:by_paper", paper_key_of(make_settlement.signers(sheet)[1]))
    assert "This text is out of date" in html
    assert 'name="agree"' not in html


def spent(signer: PaperSigner, how: str, by: User) -> str:
    if how == "taken back":
        revoke_signer(signer.pk, by=by, at=now())
    if how == "expired":
        PaperSigner.objects.filter(pk=signer.pk).update(expires_at=now() - timedelta(1))
    key = paper_key_of(signer)
    return {"altered": key[:-2] + "xx", "of another purpose": sign_key_of(signer)}.get(how, key)  # type: ignore[arg-type]


@pytest.mark.parametrize("how", ["taken back", "expired", "altered", "of another purpose"])
def test_a_spent_address_opens_nothing(client_of: ClientOf, secretary: User, sheet: Sheet, how: str) -> None:
    make_settlement.sent(sheet, by=secretary)
    code = spent(make_settlement.signers(sheet)[1], how, secretary)
    client = client_of(None)
    for name in ("by_paper", "by_paper_pdf"):
        response = client.get(reverse(f"reports:{name}", args=[code]))
        assert response.status_code == 410
        assert "1,800" not in response.content.decode()
    assert post(client, "reports:by_paper_sign", code, name="A", agree="on").status_code == 410


def test_a_title_is_made_and_kept_with_the_find(
    client_of: ClientOf, secretary: User, member: User, brooch: Find
) -> None:
    owner = brooch.site.parties.get().landholder
    data = {
        "kind": "transfer", "giver": f"landholder:{owner.pk}", "receiver": f"user:{member.pk}",
        "consideration": "by the settlement", "effective": localdate(), "days": 30,
    }  # fmt: skip
    client = client_of(secretary)
    assert post(client, "reports:title_make", brooch.pk, **data).status_code == 302
    html = page(client, "reports:titles", brooch.pk)
    assert f"T-{brooch.number}-1" in html
    paper = Paper.objects.get()
    assert [signer.landholder or signer.user for signer in paper.signers.order_by("pk")] == [owner, member]


def test_nobody_stands_on_both_sides_of_a_title(
    client_of: ClientOf, secretary: User, member: User, brooch: Find
) -> None:
    key = f"user:{member.pk}"
    data = {"kind": "transfer", "giver": key, "receiver": key, "consideration": "x", "effective": localdate()}
    html = post(client_of(secretary), "reports:title_make", brooch.pk, **data, days=30).content.decode()
    assert "is on both sides; choose another" in html


def test_queries_do_not_grow_with_finds(
    client_of: ClientOf, secretary: User, member: User, hunt: Hunt
) -> None:
    client = client_of(secretary)

    def queries(count: int) -> int:
        finds = [make_settlement.valued(make.find(hunt, member), "700", by=secretary) for _ in range(count)]
        sheet = make_settlement.sheet(finds, by=secretary)
        with CaptureQueriesContext(
            connection,
        ) as caught:
            page(client, "reports:sheet", sheet.pk)
        return len(caught)

    queries(1)
    assert queries(2) == queries(12)
