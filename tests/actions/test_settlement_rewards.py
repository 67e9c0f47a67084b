"""A reward that an authority gave stands beside the sums of a sheet and never in them."""

from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate, now

from finds.actions.case_outcome import RewardPart, decide_case
from finds.models import Case, Find
from finds.rewards import given_for
from finds.settlement import SettlementError
from finds.sheets import finds_on, work_out
from finds.states import CaseState
from hunts.models import Hunt
from people.models import User
from reports.papers import sheet_drafts
from reports.plain import plain_report
from tests import make, make_cases, make_settlement


@pytest.fixture
def hunt(secretary: User, leader: User) -> Hunt:
    make.club()
    site = make.site(by=secretary, owner=make.landholder(name="Ada Warp"))
    return make.hunt(site, leader=leader, permission_=make.permission(site, share_threshold=Decimal(500)))


@pytest.fixture
def brooch(hunt: Hunt, member: User, secretary: User) -> Find:
    return make_settlement.valued(make.find(hunt, member, object_type="brooch"), "1800", by=secretary)


def decided(hunt: Hunt, finder: User, committee: User, **said: Any) -> Find:
    """A ring whose case was reported, decided and closed."""
    case = make_cases.case(hunt, finder)
    Case.objects.filter(pk=case.pk).update(state=CaseState.REPORTED, reported_on=localdate())
    fields = {"decision": "acquired", "words": "The museum acquires it."} | said
    decide_case(case.pk, by=committee, at=now(), client_id=uuid4(), **fields)
    Case.objects.filter(pk=case.pk).update(state=CaseState.CLOSED)
    return case.finds.get()


def rewarded(hunt: Hunt, finder: User, committee: User) -> Find:
    """£2,000.01 to finder and landowner by halves, as facts/law-other.md tells of the Norwegian act, s.13."""
    parts = [RewardPart("finder", Decimal(50)), RewardPart("owner", Decimal(50), "Ada Warp")]
    return decided(hunt, finder, committee, reward=Decimal("2000.01"), parts=parts)


def test_it_is_told_with_its_shares_and_no_sum_changes(
    hunt: Hunt, brooch: Find, member: User, secretary: User, committee: User
) -> None:
    ring = rewarded(hunt, member, committee)
    make_settlement.fate(ring, "with the authority", by=secretary)
    sheet = make_settlement.sheet([brooch, ring], by=secretary)
    answer = work_out(sheet, finds_on(sheet))
    assert (answer.total, len(answer.payments)) == (Decimal(1800), 1)
    assert answer.payments[0].amount == Decimal(900)
    words = plain_report(sheet_drafts(sheet, localdate())[0].report)
    for part in ("Rewards, apart from this sheet", "£2,000.01", "£1,000.01", "£1,000.00", "Ada Warp", "50 %"):
        assert part in words


def test_a_finder_reads_of_the_rewards_for_their_own_finds_alone(
    hunt: Hunt, brooch: Find, leader: User, secretary: User, committee: User
) -> None:
    ring = rewarded(hunt, leader, committee)
    make_settlement.fate(ring, "with the authority", by=secretary)
    drafts = {d.party: plain_report(d.report) for d in sheet_drafts(
        make_settlement.sheet([brooch, ring], by=secretary), localdate()
    )}  # fmt: skip
    assert "£2,000.01" not in drafts[f"user:{brooch.finder_id}"]
    assert "£2,000.01" in drafts[f"user:{leader.pk}"]
    assert sum("£2,000.01" in words for words in drafts.values()) == 3  # whole, the leader, the landholder


@pytest.mark.parametrize("word", ["", "finder keeps", "sold"])
def test_what_was_rewarded_is_never_shared_a_second_time(
    hunt: Hunt, member: User, secretary: User, committee: User, word: str
) -> None:
    ring = make_settlement.valued(rewarded(hunt, member, committee), "2000", by=secretary)
    if word:
        price = Decimal(2000) if word == "sold" else None
        make_settlement.fate(ring, word, by=secretary, price=price)
    sheet = make_settlement.sheet([ring], by=secretary)
    with pytest.raises(SettlementError, match=rf"{ring.number} was acquired by a museum.*with the authority"):
        work_out(sheet, finds_on(sheet))


def test_what_a_museum_bought_without_a_reward_is_a_sale(
    hunt: Hunt, member: User, secretary: User, committee: User
) -> None:
    ring = decided(hunt, member, committee)
    make_settlement.fate(ring, "sold", by=secretary, price=Decimal(1000))
    sheet = make_settlement.sheet([ring], by=secretary)
    assert work_out(sheet, finds_on(sheet)).total == Decimal(1000)


def test_what_was_returned_is_settled_like_any_other(
    hunt: Hunt, member: User, secretary: User, committee: User
) -> None:
    ring = make_settlement.valued(decided(hunt, member, committee, decision="returned"), "700", by=secretary)
    sheet = make_settlement.sheet([ring], by=secretary)
    assert work_out(sheet, finds_on(sheet)).total == Decimal(700)


def test_the_last_outcome_counts(hunt: Hunt, member: User, committee: User) -> None:
    ring = rewarded(hunt, member, committee)
    case = ring.cases.get()
    Case.objects.filter(pk=case.pk).update(state=CaseState.DECIDED)
    parts = [RewardPart("finder", Decimal(100))]
    decide_case(
        case.pk,
        by=committee,
        at=now(),
        decision="acquired",
        words="on review",
        reward=Decimal(3000),
        parts=parts,
    )
    assert [(given.reward, len(given.parts)) for given in given_for([ring])] == [(Decimal(3000), 1)]


def test_the_finds_own_page_shows_it_to_the_finder(
    client_of: Any, hunt: Hunt, member: User, committee: User
) -> None:
    ring = rewarded(hunt, member, committee)
    client: Client = client_of(member)
    html = client.get(reverse("finds:worth", args=[ring.pk])).content.decode()
    assert "Reward of £2,000.01" in html
    assert "Landowner: Ada Warp" in html
