"""A paper is worked out in its reader's language, whoever makes it, so that it can be signed."""

from django.utils.timezone import localdate

from people.models import User
from reports.papers import is_current, statement_of
from tests import make, make_settlement


def test_a_paper_made_by_somebody_who_reads_another_language_can_be_signed(
    secretary: User, leader: User, member: User
) -> None:
    make.club()
    member.language = "nl"
    member.save(update_fields=["language"])
    site = make.site(by=secretary, owner=make.landholder(name="Ada Warp", email="ada@saltmere.example"))
    hunt = make.hunt(site, leader=leader, permission_=make.permission(site), on=localdate())
    coin = make_settlement.valued(make.find(hunt, member, object_type="brooch"), "1800", by=secretary)
    row = make_settlement.sent(make_settlement.sheet([coin], by=secretary), by=secretary)
    papers = {paper.party: paper for paper in row.papers.all()}
    assert papers[f"user:{member.pk}"].content["language"].lower() == "nl"
    assert all(is_current(paper) for paper in papers.values())
    finder, landholder = make_settlement.signers(row)
    assert statement_of(finder).startswith("Ik heb")
    assert statement_of(landholder).startswith("I have read")
    for signer in (finder, landholder):
        make_settlement.sign(signer)
    row.refresh_from_db()
    assert row.state == "settled"
