"""A sheet settles what it may, under the terms of the day, once; what changed since is never signed."""

from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction
from django.utils.timezone import localdate, now

from finds.actions import (
    change_sheet,
    make_sheet,
    record_payment,
    replace_sheet,
    take_off_sheet,
)
from finds.actions.screening import screen_find
from finds.models import Find, FindMaterial, Sheet, SheetPayment, SheetRow, Valuation
from finds.settlement import SettlementError
from finds.sheets import finds_on, still_to_pay, terms_from, work_out
from hunts.models import Hunt
from people.models import AuditEntry, User
from permissions.actions import change_permission
from permissions.models import SiteParty
from permissions.models.site import Capacity
from permissions.terms import Sharing, Threshold
from reports.actions import OutdatedError, dispute_paper, revoke_signer, signed_on_paper
from reports.actions.agreements import AgreementError
from reports.models import Paper, PaperSignature
from reports.papers import is_current
from tests import make, make_settlement
from web.append_only import AppendOnlyError


@pytest.fixture
def hunt(secretary: User, leader: User) -> Hunt:
    make.club()
    site = make.site(by=secretary, owner=make.landholder(name="Ada Warp", email="ada@saltmere.example"))
    permission = make.permission(site, share_threshold=Decimal(500))
    return make.hunt(site, leader=leader, permission_=permission)


@pytest.fixture
def coin(hunt: Hunt, member: User, secretary: User) -> Find:
    return make_settlement.valued(make.find(hunt, member, object_type="brooch"), "1800", by=secretary)


@pytest.fixture
def sheet(coin: Find, secretary: User) -> Sheet:
    return make_settlement.sheet([coin], by=secretary)


def change(sheet: Sheet, by: User, **fields: Any) -> Sheet:
    values: dict[str, Any] = {
        "way": "mean", "shares": {}, "terms": terms_from(sheet.terms), "terms_note": "",
    } | fields  # fmt: skip
    return change_sheet(sheet.pk, by=by, at=now(), **values)


def pay(sheet: Sheet, by: User, amount: str, **fields: Any) -> SheetPayment:
    ((payer, payee),) = list(still_to_pay(sheet))[:1] or [("user:0", "landholder:0")]
    values: dict[str, Any] = {
        "client_id": uuid4(), "payer": payer, "payee": payee, "on": localdate(), "how": "cash",
    } | fields  # fmt: skip
    return record_payment(sheet.pk, by=by, at=now(), amount=Decimal(amount), **values)


# Valuations


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        ("0", "0", "a value of 0 cannot be shared"),
        ("200", "100", "200.00 is above 100.00"),
        ("10.005", "10.005", "10.005 is finer than the currency"),
    ],
)
def test_a_bad_value_is_refused_with_its_remedy(
    coin: Find, secretary: User, low: str, high: str, words: str
) -> None:
    with pytest.raises(SettlementError, match=words):
        make_settlement.valuation(coin, low, high=high, by=secretary)


def test_a_correction_counts_and_the_old_one_stays(coin: Find, secretary: User) -> None:
    old = coin.valuations.all()[0]
    make_settlement.valuation(coin, "1600", by=secretary, corrects=old.pk, why="a slip of the pen")
    sheet = make_settlement.sheet([coin], by=secretary)
    assert work_out(sheet, finds_on(sheet)).total == Decimal(1700)
    assert coin.valuations.count() == 3
    with pytest.raises(SettlementError, match="was corrected already"):
        make_settlement.valuation(coin, "1500", by=secretary, corrects=old.pk, why="again")


def test_a_correction_says_why(coin: Find, secretary: User) -> None:
    with pytest.raises(SettlementError, match="Say why"):
        make_settlement.valuation(coin, "1600", by=secretary, corrects=coin.valuations.all()[0].pk)


def test_a_value_sent_twice_is_kept_once_and_for_ever(coin: Find, secretary: User) -> None:
    key = uuid4()
    first = make_settlement.valuation(coin, "5", by=secretary, client_id=key)
    assert make_settlement.valuation(coin, "5", by=secretary, client_id=key) == first
    with pytest.raises(AppendOnlyError):
        first.delete()
    with pytest.raises(Exception, match="append-only"), transaction.atomic():
        Valuation._base_manager.filter(pk=first.pk)._raw_delete(using="default")  # type: ignore[attr-defined]


def test_only_those_who_settle_value(coin: Find, member: User, committee: User) -> None:
    for person in (member, committee):
        with pytest.raises(PermissionDenied):
            make_settlement.valuation(coin, "5", by=person)


def test_a_price_belongs_to_a_sale(coin: Find, secretary: User) -> None:
    with pytest.raises(SettlementError, match="say what it was sold for"):
        make_settlement.fate(coin, "sold", by=secretary)
    with pytest.raises(SettlementError, match="it was not sold"):
        make_settlement.fate(coin, "donated", by=secretary, price=Decimal(5))
    with pytest.raises(SettlementError, match="had no say over the ground"):
        make_settlement.fate(
            coin, "landholder keeps", by=secretary, keeper=make.landholder(name="Nobody Here")
        )


# Making a sheet


def test_terms_are_those_of_the_day_of_the_hunt(hunt: Hunt, coin: Find, secretary: User) -> None:
    hunt.on = localdate() - timedelta(10)
    hunt.save()
    sites = list(hunt.permission.sites.all())
    change_permission(hunt.permission_id, by=secretary, at=now(), sites=sites, share_threshold=Decimal(2000))
    sheet = make_settlement.sheet([coin], by=secretary)
    assert terms_from(sheet.terms).threshold == 500
    assert "Changed in" in sheet.terms_note
    assert dict(work_out(sheet, finds_on(sheet)).due)[f"user:{coin.finder_id}"] == 900


def test_finds_of_two_permissions_are_refused_by_name(coin: Find, member: User, secretary: User) -> None:
    other = make.find(make.hunt(make.site(by=secretary)), member)
    with pytest.raises(SettlementError) as caught:
        make_settlement.sheet([coin, other], by=secretary)
    for word in (coin.number, other.number, coin.hunt.permission.reference, other.hunt.permission.reference):
        assert word in str(caught.value)


def test_days_with_other_terms_are_refused(hunt: Hunt, coin: Find, member: User, secretary: User) -> None:
    hunt.on = localdate() - timedelta(10)
    hunt.save()
    sites = list(hunt.permission.sites.all())
    change_permission(hunt.permission_id, by=secretary, at=now(), sites=sites, share_percent=Decimal(40))
    later = make.hunt(*sites, permission_=hunt.permission)
    with pytest.raises(SettlementError, match="differ; make one sheet for each time"):
        make_settlement.sheet([coin, make.find(later, member)], by=secretary)


def test_a_running_case_is_named_and_nothing_is_settled(hunt: Hunt, member: User, secretary: User) -> None:
    case = held(make.find(hunt, member))
    with pytest.raises(SettlementError, match=rf"case {case}\)"):
        make_settlement.sheet([Find.objects.get(locked=True)], by=secretary)
    with pytest.raises(SettlementError, match=case):
        make_settlement.fate(Find.objects.get(locked=True), "sold", by=secretary, price=Decimal(5))


def held(find: Find) -> str:
    """Make a heritage case run on the find: silver coins of more than 300 years, the same find."""
    fields = {"is_coin": "yes", "count": 3, "year_from": 1205, "year_to": 1247, "facts": {"same_find": "yes"}}
    Find.objects.filter(pk=find.pk).update(object_type="pennies", **fields)
    FindMaterial.objects.create(find=find, material="silver", share_percent=92)
    find.refresh_from_db()
    screen_find(find, by=find.finder, at=now())
    return find.cases.get().number


def test_a_find_stands_on_one_live_sheet(sheet: Sheet, coin: Find, secretary: User) -> None:
    with pytest.raises(SettlementError, match=rf"{coin.number} \(sheet {sheet.number}\)"):
        make_settlement.sheet([coin], by=secretary)
    with pytest.raises(IntegrityError), transaction.atomic():
        SheetRow.objects.create(
            sheet=Sheet.objects.create(
                number="S1", title="x", permission=sheet.permission, currency="GBP", terms=sheet.terms,
                terms_on=localdate(), made_at=now(), made_by=secretary,
            ),
            find=coin,
        )  # fmt: skip


def test_the_same_form_makes_one_sheet(coin: Find, secretary: User) -> None:
    key = uuid4()
    first = make_settlement.sheet([coin], by=secretary, client_id=key)
    assert make_settlement.sheet([coin], by=secretary, client_id=key) == first


def test_only_those_who_settle_make_sheets(coin: Find, member: User, leader: User, committee: User) -> None:
    for person in (member, leader, committee):
        with pytest.raises(PermissionDenied):
            make_sheet([coin.pk], by=person, at=now(), client_id=uuid4(), title="x")


def test_without_a_landholder_on_record_there_is_no_sheet(coin: Find, secretary: User) -> None:
    SiteParty.objects.all().delete()
    with pytest.raises(SettlementError, match="No owner or occupier"):
        make_settlement.sheet([coin], by=secretary)


def test_shares_of_several_landholders_must_make_a_whole(coin: Find, secretary: User) -> None:
    tenant = make.landholder(name="Tom Reed")
    SiteParty.objects.create(site=coin.site, landholder=tenant, capacity=Capacity.OCCUPIER)
    sheet = make_settlement.sheet([coin], by=secretary)
    owner = sheet.shares.exclude(landholder=tenant).get().landholder
    with pytest.raises(SettlementError, match="add up to 0 %, not 100 %"):
        work_out(sheet, finds_on(sheet))
    with pytest.raises(SettlementError, match="add up to 90 %, not 100 %"):
        change(sheet, secretary, shares={owner.pk: Decimal(60), tenant.pk: Decimal(30)})
    assert {share.percent for share in sheet.shares.all()} == {Decimal(0)}
    change(sheet, secretary, shares={owner.pk: Decimal(60), tenant.pk: Decimal(40)})
    assert dict(work_out(sheet, finds_on(sheet)).due)[f"landholder:{tenant.pk}"] == 360


def test_other_terms_need_their_source(sheet: Sheet, secretary: User) -> None:
    terms = Sharing(threshold=Decimal(1800), wording=Threshold.AT_LEAST)
    with pytest.raises(SettlementError, match="say where the others are agreed"):
        change(sheet, secretary, terms=terms)
    kept = change(sheet, secretary, terms=terms, terms_note="letter of 3 March")
    assert terms_from(kept.terms) == terms


def test_what_nobody_asks_for_is_waived_in_one_go(
    hunt: Hunt, coin: Find, member: User, secretary: User
) -> None:
    buttons = [make.find(hunt, member) for _ in range(3)]
    sheet = make_settlement.sheet([coin, *buttons], by=secretary)
    with pytest.raises(SettlementError, match="has no valuation"):
        work_out(sheet, finds_on(sheet))
    change(sheet, secretary, waive_rest=True)
    answer = work_out(sheet, finds_on(sheet))
    assert (answer.total, len(answer.apart)) == (Decimal(1800), 3)


def test_a_find_comes_off_a_draft_but_not_the_last(
    hunt: Hunt, coin: Find, member: User, secretary: User
) -> None:
    button = make.find(hunt, member)
    sheet = make_settlement.sheet([coin, button], by=secretary)
    take_off_sheet(sheet.pk, button.pk, by=secretary, at=now())
    with pytest.raises(SettlementError, match="is the last find"):
        take_off_sheet(sheet.pk, coin.pk, by=secretary, at=now())


# Sending and signing


def test_both_sides_sign_and_it_is_settled(sheet: Sheet, secretary: User, member: User) -> None:
    make_settlement.sent(sheet, by=secretary)
    finder, owner = make_settlement.signers(sheet)
    assert (finder.user, owner.name) == (member, "Ada Warp")
    make_settlement.sign(finder)
    sheet.refresh_from_db()
    assert sheet.state == "part"
    make_settlement.sign(owner)
    sheet.refresh_from_db()
    assert sheet.state == "settled"
    trail = AuditEntry.objects.filter(subject__startswith="finds.Sheet").values_list("verb", flat=True)
    assert set(trail) >= {"settlement.make", "settlement.sent", "settlement.part", "settlement.settled"}


def test_signing_twice_is_once(sheet: Sheet, secretary: User) -> None:
    make_settlement.sent(sheet, by=secretary)
    finder = make_settlement.signers(sheet)[0]
    assert make_settlement.sign(finder) == make_settlement.sign(finder)
    assert PaperSignature.objects.count() == 1


def test_sending_twice_is_once(sheet: Sheet, secretary: User) -> None:
    make_settlement.sent(sheet, by=secretary)
    make_settlement.sent(sheet, by=secretary)
    assert Paper.objects.count() == 3


def test_what_is_signed_is_the_text_that_was_read(sheet: Sheet, secretary: User) -> None:
    make_settlement.sent(sheet, by=secretary)
    with pytest.raises(OutdatedError):
        make_settlement.sign(make_settlement.signers(sheet)[0], read_sha256="0" * 64)


def test_a_new_value_makes_the_text_out_of_date(sheet: Sheet, coin: Find, secretary: User) -> None:
    make_settlement.sent(sheet, by=secretary)
    make_settlement.valuation(coin, "3000", by=secretary)
    with pytest.raises(OutdatedError, match="was changed after this was sent"):
        make_settlement.sign(make_settlement.signers(sheet)[0])
    assert not PaperSignature.objects.exists()


def test_a_case_that_opens_after_sending_stops_the_signing(sheet: Sheet, coin: Find, secretary: User) -> None:
    make_settlement.sent(sheet, by=secretary)
    held(coin)
    with pytest.raises(OutdatedError):
        make_settlement.sign(make_settlement.signers(sheet)[1])


def test_what_was_frozen_stays_as_it_was(sheet: Sheet, coin: Find, secretary: User) -> None:
    """Done-when 2 of the issue: every later edit leaves the frozen paper byte for byte."""
    make_settlement.settled(sheet, by=secretary)
    before = list(Paper.objects.order_by("pk").values("content", "content_sha256", "pdf_sha256"))
    make_settlement.valuation(coin, "9", by=secretary)
    Find.objects.filter(pk=coin.pk).update(object_type="another thing")
    assert list(Paper.objects.order_by("pk").values("content", "content_sha256", "pdf_sha256")) == before
    with pytest.raises(AppendOnlyError):
        Paper.objects.get(party="").save()


def test_nobody_signs_for_another(sheet: Sheet, secretary: User, leader: User) -> None:
    make_settlement.sent(sheet, by=secretary)
    with pytest.raises(PermissionDenied):
        make_settlement.sign(make_settlement.signers(sheet)[0], by=leader)


def test_an_address_taken_back_signs_nothing(sheet: Sheet, secretary: User) -> None:
    make_settlement.sent(sheet, by=secretary)
    owner = make_settlement.signers(sheet)[1]
    revoke_signer(owner.pk, by=secretary, at=now())
    with pytest.raises(AgreementError, match="no longer signs"):
        make_settlement.sign(owner)


def test_a_dispute_is_kept_and_can_be_settled(sheet: Sheet, secretary: User) -> None:
    make_settlement.sent(sheet, by=secretary)
    finder, owner = make_settlement.signers(sheet)
    make_settlement.sign(finder)
    dispute_paper(owner.pk, by=None, via="paper link", at=now(), why="It is worth more")
    sheet.refresh_from_db()
    assert sheet.state == "disputed"
    make_settlement.sign(owner)
    sheet.refresh_from_db()
    owner.refresh_from_db()
    assert (sheet.state, owner.disputed_why) == ("settled", "It is worth more")
    with pytest.raises(AgreementError, match="You have signed"):
        dispute_paper(owner.pk, by=None, via="paper link", at=now(), why="no")


def test_a_hand_on_paper_counts_with_who_recorded_it(sheet: Sheet, secretary: User, leader: User) -> None:
    make_settlement.sent(sheet, by=secretary)
    owner = make_settlement.signers(sheet)[1]
    with pytest.raises(PermissionDenied):
        signed_on_paper(
            owner.pk, by=leader, at=now(), client_id=uuid4(), name="Ada Warp", where_kept="file 3"
        )
    row = signed_on_paper(
        owner.pk, by=secretary, at=now(), client_id=uuid4(), name="Ada Warp", where_kept="file 3"
    )
    assert (row.recorded_by, row.via) == (secretary, "on paper: file 3")


def test_sums_that_changed_meanwhile_are_not_sent(sheet: Sheet, coin: Find, secretary: User) -> None:
    from reports.actions import send_sheet
    from reports.papers import sheet_drafts

    drafts = sheet_drafts(sheet, localdate())
    make_settlement.valuation(coin, "30", by=secretary)
    when = {"at": now(), "expires_at": now() + timedelta(30)}
    with pytest.raises(SettlementError, match="Read the sums below again"):
        send_sheet(
            sheet.pk, drafts, [b"%PDF"] * len(drafts), by=secretary,
            address_of=make_settlement.address_of, **when,
        )  # fmt: skip
    assert not Paper.objects.exists()


# Replacing and paying


def test_a_replaced_sheet_is_signed_anew(sheet: Sheet, coin: Find, secretary: User) -> None:
    make_settlement.sent(sheet, by=secretary)
    old = make_settlement.signers(sheet)[0]
    new = replace_sheet(sheet.pk, by=secretary, at=now(), why="a second opinion came")
    assert replace_sheet(sheet.pk, by=secretary, at=now(), why="again") == new
    assert [row.find for row in new.rows.all()] == [coin]
    assert not is_current(old.paper)
    with pytest.raises(OutdatedError):
        make_settlement.sign(old)
    assert make_settlement.settled(new, by=secretary).state == "settled"


def test_a_draft_that_is_given_up_frees_its_finds(sheet: Sheet, coin: Find, secretary: User) -> None:
    replace_sheet(sheet.pk, by=secretary, at=now(), why="not needed")
    assert make_settlement.sheet([coin], by=secretary).number != sheet.number


def test_payments_are_never_more_than_is_due(sheet: Sheet, secretary: User) -> None:
    make_settlement.settled(sheet, by=secretary)
    pay(sheet, secretary, "400")
    with pytest.raises(SettlementError, match=r"£600.00 is more than the £500.00 that is still to pay"):
        pay(sheet, secretary, "600")
    pay(sheet, secretary, "500")
    assert still_to_pay(sheet) == {}


def test_nothing_is_paid_before_all_have_signed(sheet: Sheet, secretary: User) -> None:
    make_settlement.sent(sheet, by=secretary)
    with pytest.raises(SettlementError, match="not signed by everybody"):
        pay(sheet, secretary, "900")


def test_what_was_paid_counts_on_the_next_sheet_and_too_much_goes_back(
    sheet: Sheet, coin: Find, secretary: User
) -> None:
    make_settlement.settled(sheet, by=secretary)
    payment = pay(sheet, secretary, "900")
    new = replace_sheet(sheet.pk, by=secretary, at=now(), why="valued too high")
    for old in list(coin.valuations.filter(corrected_by=None)):
        make_settlement.valuation(coin, "1000", by=secretary, corrects=old.pk, why="a copy")
    make_settlement.settled(new, by=secretary)
    assert still_to_pay(new) == {(payment.payee, payment.payer): Decimal(400)}


def test_a_payment_sent_twice_is_one(sheet: Sheet, secretary: User) -> None:
    make_settlement.settled(sheet, by=secretary)
    key = uuid4()
    assert pay(sheet, secretary, "10", client_id=key) == pay(sheet, secretary, "10", client_id=key)
