"""Two people at one sheet at once, under real threads."""

from datetime import timedelta
from decimal import Decimal
from threading import Event
from typing import Any
from uuid import uuid4

import pytest
from django.utils.timezone import localdate, now

from finds.actions import record_payment, replace_sheet
from finds.models import Find, Sheet, SheetPayment, SheetRow, Valuation
from finds.settlement import Settlement, SettlementError
from finds.sheets import still_to_pay
from hunts.models import Hunt
from people.models import User
from people.rights import Role
from reports.actions import papers, send_sheet
from reports.models import Paper, PaperSignature, PaperSigner
from reports.papers import sheet_drafts
from tests import make, make_settlement
from tests.actions.test_hunt_races import together
from tests.make_settlement import PDF, address_of

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def two() -> list[User]:
    return [make.person(Role.SECRETARY, name=name) for name in ("Ida Drift", "Hale Withern")]


@pytest.fixture
def hunt(two: list[User]) -> Hunt:
    make.club()
    return make.hunt(make.site(by=two[0], owner=make.landholder(name="Ada Warp")))


@pytest.fixture
def brooch(hunt: Hunt, two: list[User]) -> Find:
    found = make.find(hunt, make.person(name="Mo Samphire"), object_type="brooch")
    return make_settlement.valued(found, "1800", by=two[0])


@pytest.fixture
def sheet(brooch: Find, two: list[User]) -> Sheet:
    return make_settlement.sheet([brooch], by=two[0])


def state(sheet: Sheet) -> str:
    return Sheet.objects.get(pk=sheet.pk).state


def names(ends: list[object]) -> list[str]:
    return sorted(type(end).__name__ for end in ends)


def test_one_find_comes_on_one_sheet_of_two_made_at_once(brooch: Find, two: list[User]) -> None:
    ends = together(*(lambda by=by: make_settlement.sheet([brooch], by=by) for by in two))
    assert names(ends) == ["SettlementError", "Sheet"]
    assert SheetRow.objects.filter(find=brooch, live=True).count() == 1


def test_two_send_one_sheet_and_it_is_sent_once(sheet: Sheet, two: list[User]) -> None:
    ends = together(*(lambda by=by: make_settlement.sent(sheet, by=by) for by in two))
    assert names(ends) == ["Sheet", "Sheet"]
    assert (state(sheet), Paper.objects.count(), PaperSigner.objects.count()) == ("sent", 3, 2)


def test_what_is_sent_while_a_value_comes_says_what_it_rests_on(
    sheet: Sheet, brooch: Find, two: list[User]
) -> None:
    drafts = sheet_drafts(sheet, localdate())
    until = now() + timedelta(30)
    sent, _ = together(
        lambda: send_sheet(
            sheet.pk, drafts, [PDF] * len(drafts), by=two[0], at=now(), expires_at=until, address_of=address_of
        ),
        lambda: make_settlement.valuation(brooch, "3000", by=two[1]),
    )  # fmt: skip
    if isinstance(sent, SettlementError):
        assert (state(sheet), Paper.objects.count()) == ("draft", 0)
        return
    assert (sent.figures["total"], state(sheet)) == ("1800.00", "sent")
    ends = [_signing(signer) for signer in make_settlement.signers(sheet)]
    assert names(ends) == ["OutdatedError", "OutdatedError"]


def _signing(signer: PaperSigner) -> object:
    try:
        return make_settlement.sign(signer)
    except Exception as error:
        return error


def test_both_sides_sign_at_once_and_it_is_settled(sheet: Sheet, two: list[User]) -> None:
    make_settlement.sent(sheet, by=two[0])
    ends = together(*(lambda s=s: make_settlement.sign(s) for s in make_settlement.signers(sheet)))
    assert names(ends) == ["PaperSignature", "PaperSignature"]
    assert state(sheet) == "settled"


def test_one_who_signs_twice_at_once_signs_once(sheet: Sheet, two: list[User]) -> None:
    make_settlement.sent(sheet, by=two[0])
    finder = make_settlement.signers(sheet)[0]
    ends = together(*(lambda: make_settlement.sign(finder) for _ in range(3)))
    assert len({end.pk for end in ends}) == 1
    assert (PaperSignature.objects.count(), state(sheet)) == (1, "part")


def test_a_sheet_replaced_while_it_is_signed_is_never_settled_unseen(sheet: Sheet, two: list[User]) -> None:
    make_settlement.sent(sheet, by=two[0])
    finder, owner = make_settlement.signers(sheet)
    make_settlement.sign(finder)
    signed, new = together(
        lambda: make_settlement.sign(owner),
        lambda: replace_sheet(sheet.pk, by=two[1], at=now(), why="a second opinion came"),
    )
    assert type(signed).__name__ in {"PaperSignature", "OutdatedError"}
    assert (state(sheet), state(new)) == ("replaced", "draft")


def test_two_who_record_the_same_payment_record_no_more_than_is_due(sheet: Sheet, two: list[User]) -> None:
    make_settlement.settled(sheet, by=two[0])
    ((payer, payee), amount) = next(iter(still_to_pay(sheet).items()))
    said = {"payer": payer, "payee": payee, "amount": Decimal(600), "on": localdate(), "how": "cash"}
    ends = together(
        *(lambda by=by: record_payment(sheet.pk, by=by, at=now(), client_id=uuid4(), **said) for by in two)
    )
    assert names(ends) == ["SettlementError", "SheetPayment"]
    assert (amount, SheetPayment.objects.count()) == (Decimal(900), 1)


def test_a_value_that_comes_while_a_sheet_is_sent_waits_for_it(
    sheet: Sheet, brooch: Find, two: list[User], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The moment between comparing the text and keeping the figures, held open until the other has tried."""
    real, reached, tried = papers.work_out, Event(), Event()

    def slow(*args: Any) -> Settlement:
        reached.set()
        tried.wait(timeout=1)  # it stays locked out, so this ends by time
        return real(*args)

    def value() -> Valuation:
        reached.wait(timeout=60)
        row = make_settlement.valuation(brooch, "3000", by=two[1])
        tried.set()
        return row

    drafts = sheet_drafts(sheet, localdate())
    until = now() + timedelta(30)
    monkeypatch.setattr(papers, "work_out", slow)
    jobs = (
        lambda: send_sheet(
            sheet.pk, drafts, [PDF] * 3, by=two[0], at=now(), expires_at=until, address_of=address_of
        ),
        value,
    )
    sent, _ = together(*jobs)
    assert not isinstance(sent, SettlementError), sent
    assert sent.figures["total"] == "1800.00"
