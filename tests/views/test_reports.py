"""Previews, issuing and the issued reports on screen and as files."""

from io import BytesIO

import pytest
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from people.models import AuditEntry
from reports.models import IssuedReport, Kind
from tests import make
from tests.views.world import World, build, shared_world

pytestmark = pytest.mark.django_db

KINDS = {"visit": "Visit report", "holes": "Filled-holes report", "returns": "Returns statement"}


standing_world, world = shared_world(build)


@pytest.fixture
def leader_client(world: World, client: Client) -> Client:
    client.force_login(world.leader)
    return client


def issue(client: Client, world: World, kind: str = "visit", **data) -> IssuedReport:
    response = client.post(reverse("reports:issue", args=[kind, world.hunt.pk]), data)
    assert response.status_code == 302
    return IssuedReport.objects.filter(kind=kind).latest("pk")


@pytest.mark.parametrize("kind", KINDS)
def test_a_preview_says_what_will_be_sent(leader_client: Client, world: World, kind: str) -> None:
    text = leader_client.get(reverse(f"reports:{kind}", args=[world.hunt.pk])).text
    assert KINDS[kind] in text
    assert world.hunt.title in text
    assert "Ada Warp" in text
    assert "Issue " in text


@pytest.mark.parametrize("kind", KINDS)
def test_an_issued_report_is_frozen_and_can_be_had_as_a_pdf(
    leader_client: Client, world: World, kind: str
) -> None:
    row = issue(leader_client, world, kind)
    page = leader_client.get(reverse("reports:issued", args=[row.pk])).text
    assert row.content_sha256 in page
    assert row.pdf_sha256 in page
    response = leader_client.get(reverse("reports:issued_pdf", args=[row.pk]))
    assert response["Content-Type"] == "application/pdf"
    assert f'filename="{row.number}.pdf"' in response["Content-Disposition"]
    reader = PdfReader(BytesIO(b"".join(response.streaming_content)))
    assert row.content_sha256[:16] in reader.pages[0].extract_text().replace("\n", "")


def test_a_preview_shows_the_photographs_and_they_open(leader_client: Client, world: World) -> None:
    text = leader_client.get(reverse("reports:visit", args=[world.hunt.pk])).text
    url = reverse("finds:photo", args=[world.photo.pk, "full"])
    assert url in text
    assert leader_client.get(url).getvalue().startswith(b"\xff\xd8")


def test_pressing_issue_twice_makes_one_issue(leader_client: Client, world: World) -> None:
    assert issue(leader_client, world).pk == issue(leader_client, world).pk
    assert IssuedReport.objects.filter(kind=Kind.VISIT).count() == 1


def test_a_change_makes_a_second_issue_and_the_preview_lists_the_first(
    leader_client: Client, world: World
) -> None:
    first = issue(leader_client, world)
    type(world.find).objects.filter(pk=world.find.pk).update(object_type="buckle")
    second = issue(leader_client, world)
    assert (first.issue, second.issue) == (1, 2)
    text = leader_client.get(reverse("reports:visit", args=[world.hunt.pk])).text
    assert first.number in text
    assert second.number in text


def test_when_somebody_else_was_faster_the_page_says_so(
    leader_client: Client, world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    from reports.views import issue as view

    plain = view.render_pdf

    def slowly(report, photos):
        monkeypatch.setattr(view, "render_pdf", plain)
        other = Client()
        other.force_login(world.secretary)
        make.hole(world.hunt, world.member)  # so that the two do not say the same
        issue(other, world)
        return plain(report, photos)

    monkeypatch.setattr(view, "render_pdf", slowly)
    url = reverse("reports:issue", args=["visit", world.hunt.pk])
    text = leader_client.post(url, follow=True).text
    assert "was issued by somebody else a moment ago" in text
    assert IssuedReport.objects.filter(kind=Kind.VISIT).count() == 1


def test_a_report_goes_to_the_landholder_who_was_chosen(leader_client: Client, world: World) -> None:
    other = make.landholder(name="Zoe Wold")
    world.site.parties.create(landholder=other, capacity="agent")
    assert issue(leader_client, world, landholder=other.pk).recipient == "Zoe Wold"


def test_somebody_without_a_say_is_not_a_recipient(leader_client: Client, world: World) -> None:
    outsider = make.landholder()
    url = reverse("reports:issue", args=["visit", world.hunt.pk])
    for wanted in (outsider.pk, "x"):
        assert leader_client.post(url, {"landholder": wanted}).status_code == 404
    assert not IssuedReport.objects.filter(kind=Kind.VISIT).exists()


def test_a_kind_of_report_that_there_is_not_is_not_found(leader_client: Client, world: World) -> None:
    assert leader_client.post(reverse("reports:issue", args=["poem", world.hunt.pk])).status_code == 404


def test_a_leader_does_not_issue_a_heritage_report(leader_client: Client, world: World) -> None:
    url = reverse("reports:issue_heritage", args=[world.case.pk])
    assert leader_client.post(url).status_code == 403
    assert IssuedReport.objects.filter(kind=Kind.HERITAGE).count() == 1  # the world's own


def test_the_committee_issues_the_heritage_report(client: Client, world: World) -> None:
    client.force_login(world.committee)
    preview = client.get(reverse("reports:heritage", args=[world.case.pk])).text
    assert "It does not say what an object is" in preview
    assert "Treasure Act" in preview
    response = client.post(reverse("reports:issue_heritage", args=[world.case.pk]), follow=True)
    assert "is issued and frozen" in response.text


def test_each_look_at_an_issued_heritage_report_is_on_record(client: Client, world: World) -> None:
    client.force_login(world.committee)
    before = world.locked.findspot_views.count()
    client.get(reverse("reports:issued", args=[world.heritage.pk]))
    client.get(reverse("reports:issued_pdf", args=[world.heritage.pk])).getvalue()
    assert world.locked.findspot_views.count() == before + 2


@pytest.mark.parametrize("reader", ["stranger", "member", "committee"])
def test_reports_to_landholders_are_not_there_for_others(client: Client, world: World, reader: str) -> None:
    client.force_login(world.reader(reader))
    for name in ("reports:issued", "reports:issued_pdf"):
        assert client.get(reverse(name, args=[world.returns.pk])).status_code == 404


@pytest.mark.parametrize("reader", ["stranger", "member", "leader", "secretary"])
def test_heritage_reports_are_not_there_for_others(client: Client, world: World, reader: str) -> None:
    client.force_login(world.reader(reader))
    for name in ("reports:issued", "reports:issued_pdf"):
        assert client.get(reverse(name, args=[world.heritage.pk])).status_code == 404


def test_a_preview_without_finds_or_holes_says_so(leader_client: Client, world: World) -> None:
    blank = make.hunt(world.site, leader=world.leader, permission_=world.permission, state="closed")
    said = [leader_client.get(reverse(f"reports:{kind}", args=[blank.pk])).text for kind in KINDS]
    assert "Nothing was kept for recording" in said[0]
    assert "No hole was dug on this visit" in said[1]
    assert "nothing is to be returned" in said[2]


def test_an_unfilled_hole_stands_in_the_open_in_the_holes_report(leader_client: Client, world: World) -> None:
    text = leader_client.get(reverse("reports:holes", args=[world.hunt.pk])).text
    assert f"Not recorded as filled: hole {world.hole.number}" in text


def test_a_concern_is_answered_and_the_landholder_reads_the_answer(client: Client, world: World) -> None:
    client.force_login(world.secretary)
    assert "a gate" in client.get(reverse("reports:answers")).text
    url = reverse("reports:concern_settle", args=[world.answer.pk])
    assert "before closing this" in client.post(url, {"words": ""}).text
    client.post(url, {"words": "the gate hangs again"})
    assert "the gate hangs again" in client.get(reverse("reports:answers")).text
    assert AuditEntry.objects.filter(verb="landholder.settled").count() == 1
