"""Today says what waits to be signed, and which sheets somebody has to act on."""

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import now

from finds.actions import replace_sheet
from finds.models import Find, Sheet
from hunts.models import Hunt
from people.models import User
from reports import today_settle
from reports.actions import dispute_paper
from tests import make, make_settlement


@pytest.fixture
def hunt(secretary: User, leader: User) -> Hunt:
    make.club()
    return make.hunt(make.site(by=secretary, owner=make.landholder(name="Ada Warp")), leader=leader)


@pytest.fixture
def brooch(hunt: Hunt, member: User, secretary: User) -> Find:
    return make_settlement.valued(make.find(hunt, member, object_type="brooch"), "1800", by=secretary)


@pytest.fixture
def sheet(brooch: Find, secretary: User) -> Sheet:
    return make_settlement.sheet([brooch], by=secretary)


def titles(section: Any, user: User) -> list[str]:
    return [item.title for item in section(user, now()).items]


def test_a_draft_waits_for_those_who_settle_and_is_nothing_to_others(
    sheet: Sheet, secretary: User, member: User, committee: User
) -> None:
    assert titles(today_settle.sheets, secretary) == [sheet.number]
    for person in (member, committee):
        assert titles(today_settle.sheets, person) == []
        assert titles(today_settle.to_sign, person) == []


def test_a_paper_waits_for_the_one_who_is_asked_until_it_is_signed(
    client_of: Any, sheet: Sheet, secretary: User, member: User, leader: User
) -> None:
    make_settlement.sent(sheet, by=secretary)
    finder = make_settlement.signers(sheet)[0]
    assert titles(today_settle.to_sign, member) == [
        f"{finder.paper.get_kind_display()} {finder.paper.number}"
    ]
    assert titles(today_settle.to_sign, leader) == []
    client: Client = client_of(member)
    html = client.get("/").content.decode()
    assert finder.paper.number in html
    assert reverse("reports:paper", args=[finder.paper_id]) in html
    make_settlement.sign(finder)
    assert titles(today_settle.to_sign, member) == []


def test_a_disputed_sheet_comes_back_to_the_secretary_until_it_is_replaced(
    sheet: Sheet, secretary: User, member: User
) -> None:
    make_settlement.sent(sheet, by=secretary)
    assert titles(today_settle.sheets, secretary) == []
    finder = make_settlement.signers(sheet)[0]
    dispute_paper(finder.pk, by=member, via="own account", at=now(), why="It is worth more")
    (item,) = today_settle.sheets(secretary, now()).items
    assert (item.title, item.status) == (sheet.number, "late")
    new = replace_sheet(sheet.pk, by=secretary, at=now(), why="valued again")
    assert titles(today_settle.sheets, secretary) == [new.number]
    assert titles(today_settle.to_sign, member) == []


def test_ten_sheets_ask_the_database_as_often_as_one(
    hunt: Hunt, secretary: User, member: User, sheet: Sheet
) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            today_settle.sheets(secretary, now())
            today_settle.to_sign(member, now())
        return len(caught)

    make_settlement.sent(sheet, by=secretary)
    queries()  # rights are read once and kept
    few = queries()
    for _ in range(4):
        found = make_settlement.valued(make.find(hunt, member), "700", by=secretary)
        make_settlement.sent(make_settlement.sheet([found], by=secretary), by=secretary)
    assert queries() == few
