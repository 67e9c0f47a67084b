"""Title to a find passes on paper, signed by both, and never while the law still holds the find."""

import pytest
from django.utils.timezone import now

from finds.models import Case, Find
from finds.settlement import SettlementError
from people.models import User
from reports.actions import OutdatedError
from reports.build.title import EXPORT, title_report
from reports.content import from_data
from reports.models import Paper
from reports.papers import read_find
from reports.plain import plain_report
from tests import make, make_settlement
from tests.actions.test_settlement import held


@pytest.fixture
def find(secretary: User, leader: User, member: User) -> Find:
    make.club()
    site = make.site(by=secretary, owner=make.landholder(name="Ada Warp"))
    found = make.find(make.hunt(site, leader=leader), member, object_type="buckle")
    make.find_photo(found)
    return found


def signers_of(paper: Paper) -> list:  # type: ignore[type-arg]
    return list(paper.signers.select_related("paper__find").order_by("pk"))


def test_the_paper_names_everything_that_trade_practice_asks(find: Find, secretary: User) -> None:
    """facts/trade.md 8: object numbers, giver, receiver, consideration, photograph, date, both signatures."""
    paper = make_settlement.title(find, by=secretary, consideration="£40")
    words = plain_report(from_data(paper.content))
    for part in (find.number, find.finder.name, "Ada Warp", "£40", "buckle", "passes all title"):
        assert part in words
    kinds = [block["block"] for block in paper.content["blocks"]]
    assert "PhotoGrid" in kinds
    assert kinds[-1] == "SignatureBox"
    assert len(paper.content["blocks"][-1]["people"]) == 2


def test_both_sign_and_twice_is_once(find: Find, secretary: User) -> None:
    paper = make_settlement.title(find, by=secretary)
    for signer in signers_of(paper):
        assert make_settlement.sign(signer) == make_settlement.sign(signer)


def test_a_disclaimer_is_signed_by_who_waives(find: Find, secretary: User) -> None:
    paper = make_settlement.title(find, by=secretary, kind="disclaimer")
    assert paper.content["blocks"][-1]["people"] == [find.finder.name]
    assert paper.number.startswith("D-")


def test_no_title_passes_while_a_case_runs(find: Find, secretary: User) -> None:
    number = held(find)
    for kind in ("transfer", "disclaimer"):
        with pytest.raises(SettlementError, match=number):
            make_settlement.title(find, by=secretary, kind=kind)


def test_the_states_own_disclaimer_is_kept_while_its_case_is_closed(find: Find, secretary: User) -> None:
    held(find)
    Case.objects.update(decision="disclaimed")
    paper = make_settlement.title(
        find, by=secretary, kind="disclaimer", by_state=True, authority="letter of 3 March, ref. 12"
    )
    assert "letter of 3 March, ref. 12" in plain_report(from_data(paper.content))


def test_a_record_changed_after_sending_is_not_signed(find: Find, secretary: User) -> None:
    paper = make_settlement.title(find, by=secretary)
    Find.objects.filter(pk=find.pk).update(object_type="strap end")
    with pytest.raises(OutdatedError):
        make_settlement.sign(signers_of(paper)[0])


def test_a_withdrawn_record_passes_nothing(find: Find, secretary: User) -> None:
    Find.objects.filter(pk=find.pk).update(withdrawn_at=now())
    with pytest.raises(SettlementError, match="was withdrawn"):
        make_settlement.title(find, by=secretary)


@pytest.mark.parametrize(
    ("place", "said"),
    [
        ("england", True),
        ("scotland", True),
        ("northern-ireland", True),
        ("ireland", False),
        ("denmark", False),
    ],
)
def test_the_export_caution_is_for_the_united_kingdom(
    find: Find, secretary: User, place: str, said: bool
) -> None:
    """facts/trade.md 8 (a published export table at second hand)."""
    find.site.jurisdiction = place
    find.site.save()
    given = make_settlement.title(find, by=secretary).given
    report = title_report(read_find(find.pk), given, "The club", number="T-1", on=now().date())
    assert (EXPORT in plain_report(report).replace("\n", " ")) is said


def test_no_paper_tells_a_place(find: Find, secretary: User) -> None:
    words = str(make_settlement.title(find, by=secretary).content)
    assert "53.6" not in words
    assert "0.151" not in words
