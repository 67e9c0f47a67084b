"""The landholder's page: one private address, their own land only, and answers that are kept."""

from datetime import timedelta
from io import BytesIO
from uuid import uuid4

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate, now
from pypdf import PdfReader

from geo.gridref import describe_position
from geo.position import Country
from people.models import AuditEntry
from permissions.actions import revoke_link
from permissions.links import key_of
from permissions.models import LandholderLink
from permissions.states import State
from reports.actions import issue_report
from reports.drafts import draft_for_hunt, photos_of
from reports.models import IssuedReport, Kind, LandholderAnswer
from reports.pdf import render_pdf
from tests import make
from tests.views.world import World, build

pytestmark = pytest.mark.django_db


@pytest.fixture
def world() -> World:
    return build()


@pytest.fixture
def key(world: World) -> str:
    return key_of(world.link)


@pytest.fixture
def client() -> Client:
    return Client()


def issued(world: World, kind: Kind) -> IssuedReport:
    draft = draft_for_hunt(kind, world.hunt, world.landholder, on=localdate())
    pdf = render_pdf(draft.report, photos_of(draft.report))
    return issue_report(
        kind, draft, pdf, by=world.leader, at=now(), hunt=world.hunt, landholder=world.landholder
    )


def page(client: Client, key: str, name: str = "landholder", **kwargs) -> HttpResponse:
    return client.get(reverse(f"reports:{name}", kwargs={"key": key, **kwargs}))


def send(client: Client, key: str, name: str, data: dict, **kwargs) -> HttpResponse:
    return client.post(reverse(f"reports:{name}", kwargs={"key": key, **kwargs}), data)


# The address


ADDRESSES = {
    "landholder": {},
    "landholder_report": {"pk": 1},
    "landholder_report_pdf": {"pk": 1},
    "landholder_photo": {"pk": 1, "photo": "find-1"},
}


@pytest.mark.parametrize("name", ADDRESSES)
def test_an_altered_address_is_closed_and_says_what_to_do(client: Client, key: str, name: str) -> None:
    first, last = ("0" if key[0] == "1" else "1"), ("A" if key[-1] == "B" else "B")
    for altered in (first + key[1:], key[:-1] + last, key.split(":")[0], "x"):
        response = page(client, altered, name, **ADDRESSES[name])
        assert response.status_code == 410
        assert b"not complete or was changed on the way" in response.content
        assert b"ask the club for a new one" in response.content


def test_a_revoked_address_is_closed_at_once(client: Client, world: World, key: str) -> None:
    assert page(client, key).status_code == 200
    revoke_link(world.link.pk, by=world.secretary, at=now())
    response = page(client, key)
    assert response.status_code == 410
    assert b"This address was withdrawn. Please ask the club for a new one." in response.content
    assert b"Ada Warp" not in response.content


def test_an_expired_address_says_until_when_it_worked(client: Client, world: World) -> None:
    response = page(client, key_of(world.expired_link))
    assert response.status_code == 410
    day = world.expired_link.expires_at
    assert f"worked until {day:%-d %B %Y}" in response.text
    assert "Please ask the club for a new one" in response.text


def test_a_closed_address_takes_no_answer(client: Client, world: World) -> None:
    before = LandholderAnswer.objects.count()
    response = send(client, key_of(world.expired_link), "landholder_concern", {"words": "a gate"})
    assert response.status_code == 410
    assert LandholderAnswer.objects.count() == before


def test_the_page_is_not_kept_by_others_and_notes_that_it_was_read(
    client: Client, world: World, key: str
) -> None:
    page(client, key)
    world.link.refresh_from_db()
    assert world.link.last_used_at is not None


# What is read


def test_the_page_shows_land_visits_and_reports(client: Client, world: World, key: str) -> None:
    text = page(client, key).text
    for words in ("Ada Warp", world.site.name, world.hunt.title, world.returns.number):
        assert words in text


def test_other_peoples_land_and_reports_are_not_there(client: Client, world: World, key: str) -> None:
    other = make.landholder(name="Bo Wold")
    theirs = make.hunt(make.site(owner=other, name="Wold Piece"), leader=world.leader, title="Wold walk")
    draft = draft_for_hunt(Kind.VISIT, theirs, other, on=localdate())
    row = issue_report(Kind.VISIT, draft, b"%PDF", by=world.leader, at=now(), hunt=theirs, landholder=other)
    text = page(client, key).text
    assert not any(words in text for words in ("Bo Wold", "Wold Piece", "Wold walk", row.number))
    for name in ("landholder_report", "landholder_report_pdf"):
        assert page(client, key, name, pk=row.pk).status_code == 404


@pytest.mark.parametrize("name", ["landholder_report", "landholder_report_pdf"])
def test_a_heritage_report_is_never_shown(client: Client, world: World, key: str, name: str) -> None:
    assert page(client, key, name, pk=world.heritage.pk).status_code == 404
    assert world.heritage.number not in page(client, key).text


def test_land_that_is_no_longer_theirs_is_not_shown(client: Client, world: World, key: str) -> None:
    world.site.parties.update(until=make.days(-1))
    assert world.site.name not in page(client, key).text


@pytest.mark.parametrize("kind", [Kind.VISIT, Kind.HOLES, Kind.RETURNS])
def test_each_report_opens_on_screen_and_as_a_file(
    client: Client, world: World, key: str, kind: Kind
) -> None:
    row = issued(world, kind)
    assert row.get_kind_display() in page(client, key, "landholder_report", pk=row.pk).text
    response = page(client, key, "landholder_report_pdf", pk=row.pk)
    assert response["Content-Type"] == "application/pdf"
    assert b"".join(response.streaming_content).startswith(b"%PDF")


def test_only_photographs_that_stand_in_the_report_are_served(client: Client, world: World, key: str) -> None:
    row = issued(world, Kind.VISIT)
    later = make.find_photo(world.find)
    unrelated = make.hole_photo(world.hole)
    response = page(client, key, "landholder_photo", pk=row.pk, photo=f"find-{world.photo.pk}")
    assert response.status_code == 200
    assert response["Content-Type"] == "image/jpeg"
    assert b"".join(response.streaming_content).startswith(b"\xff\xd8")
    for photo in (f"find-{later.pk}", f"hole-{unrelated.pk}", "find-", "x", "find-1e9"):
        assert page(client, key, "landholder_photo", pk=row.pk, photo=photo).status_code == 404


def test_no_page_of_a_landholder_needs_javascript(client: Client, world: World, key: str) -> None:
    pages = [page(client, key), page(client, key, "landholder_report", pk=world.returns.pk)]
    for text in (response.text for response in pages):
        assert '<form method="post"' in text
        assert "<script>" not in text
        assert "onclick" not in text
        assert "javascript:" not in text
        # Scripts come as files of this site only, and what they do is an addition.
        assert all("/static/" in tag for tag in text.split("<script")[1:])


# What may never be read


def places(lon: float, lat: float) -> list[str]:
    """A point as it could stand in a page: degrees to four places, and its references."""
    reference = describe_position(lon, lat, 5.0, Country.GB)
    return [f"{lat:.4f}", f"{lon:.4f}", reference, reference.replace(" ", "")]


def test_the_place_of_a_locked_find_is_nowhere(client: Client, world: World, key: str) -> None:
    lon, lat = 0.15137, 53.60113
    for find in (world.locked, world.others_locked):
        type(find).objects.filter(pk=find.pk).update(lon=lon, lat=lat)
    make.hole(world.hunt, world.member, lon=lon, lat=lat, locked=True)
    texts = [page(client, key).text]
    for kind in (Kind.VISIT, Kind.HOLES, Kind.RETURNS):
        row = issued(world, kind)
        texts += [page(client, key, "landholder_report", pk=row.pk).text, str(row.content)]
        with row.pdf.open("rb") as file:
            texts.append(words_in(file.read()))
    for text in texts:
        assert not [place for place in places(lon, lat) if place in text]
    assert "kept back for now" in texts[4]


def words_in(pdf: bytes) -> str:
    return "\n".join(leaf.extract_text() for leaf in PdfReader(BytesIO(pdf)).pages)


# Answers


def test_a_concern_is_kept_and_the_page_says_so(client: Client, world: World, key: str) -> None:
    data = {"client_id": uuid4(), "words": "a gate stood open", "signed_name": "Ada"}
    response = client.post(reverse("reports:landholder_concern", kwargs={"key": key}), data, follow=True)
    assert "sees this today" in response.text
    assert "a gate stood open" in response.text
    send(client, key, "landholder_concern", data)
    assert LandholderAnswer.objects.filter(words="a gate stood open").count() == 1


def test_an_empty_concern_keeps_the_name_that_was_typed(client: Client, key: str) -> None:
    response = send(client, key, "landholder_concern", {"words": "", "signed_name": "Ada of Saltmere"})
    assert response.status_code == 200
    assert 'value="Ada of Saltmere"' in response.text
    assert "Nothing was saved yet" in response.text


def test_returned_things_are_confirmed_once(client: Client, world: World, key: str) -> None:
    data = {"client_id": uuid4(), "received": "confirmed", "signed_name": "Ada Warp"}
    for _ in range(2):
        assert send(client, key, "landholder_confirm", data, pk=world.returns.pk).status_code == 302
    answer = LandholderAnswer.objects.get(report=world.returns)
    assert (answer.what, answer.signed_name) == ("confirmed", "Ada Warp")
    assert "signed Ada Warp" in page(client, key, "landholder_report", pk=world.returns.pk).text


def test_a_dispute_without_words_asks_what_is_missing_and_keeps_the_signature(
    client: Client, world: World, key: str
) -> None:
    data = {"received": "disputed", "signed_name": "Ada Warp", "words": " "}
    response = send(client, key, "landholder_confirm", data, pk=world.returns.pk)
    assert "Please say what is missing or not right" in response.text
    assert 'value="Ada Warp"' in response.text
    assert not LandholderAnswer.objects.filter(report=world.returns).exists()


def test_only_a_returns_statement_can_be_confirmed(client: Client, world: World, key: str) -> None:
    row = issued(world, Kind.VISIT)
    data = {"received": "confirmed", "signed_name": "Ada Warp"}
    assert send(client, key, "landholder_confirm", data, pk=row.pk).status_code == 404


def test_a_pause_takes_effect_and_shows_on_the_page(client: Client, world: World, key: str) -> None:
    data = {"client_id": uuid4(), "words": "lambing until May"}
    for _ in range(2):
        assert send(client, key, "landholder_pause", data, pk=world.permission.pk).status_code == 302
    world.permission.refresh_from_db()
    assert world.permission.state == State.PAUSED
    assert AuditEntry.objects.filter(verb__startswith="permission.pause", via="link").count() == 1
    assert "Nobody will come until you and the club agree again" in page(client, key).text


def test_a_pause_without_a_reason_pauses_nothing_and_opens_its_form_again(
    client: Client, world: World, key: str
) -> None:
    response = send(client, key, "landholder_pause", {"words": ""}, pk=world.permission.pk)
    assert response.status_code == 200
    assert "<details open>" in response.text
    world.permission.refresh_from_db()
    assert world.permission.state == State.GRANTED


def test_a_pause_of_what_is_not_in_force_says_so(client: Client, world: World, key: str) -> None:
    type(world.permission).objects.filter(pk=world.permission.pk).update(state=State.ENDED)
    url = reverse("reports:landholder_pause", kwargs={"key": key, "pk": world.permission.pk})
    response = client.post(url, {"words": "lambing"}, follow=True)
    assert "there is nothing to pause" in response.text


@pytest.mark.parametrize("capacity", ["informed_only", "sporting_tenant"])
def test_only_owner_occupier_and_agent_may_pause(
    client: Client, world: World, key: str, capacity: str
) -> None:
    world.site.parties.update(capacity=capacity)
    response = send(client, key, "landholder_pause", {"words": "x"}, pk=world.permission.pk)
    assert response.status_code == 404


def test_nobody_pauses_another_landholders_permission(client: Client, world: World, key: str) -> None:
    other = make.permission(make.site(owner=make.landholder()))
    assert send(client, key, "landholder_pause", {"words": "x"}, pk=other.pk).status_code == 404
    other.refresh_from_db()
    assert other.state == State.GRANTED


def test_a_former_owner_may_not_pause(client: Client, world: World, key: str) -> None:
    world.site.parties.update(until=make.days(-1))
    assert send(client, key, "landholder_pause", {"words": "x"}, pk=world.permission.pk).status_code == 404


def test_the_link_opens_nothing_behind_the_sign_in(client: Client, key: str) -> None:
    page(client, key)
    assert client.get("/").status_code == 302


def test_a_second_link_of_the_same_landholder_reads_the_same(client: Client, world: World) -> None:
    second = LandholderLink.objects.create(
        landholder=world.landholder, made_at=now(), made_by=world.secretary, expires_at=now() + timedelta(1)
    )
    assert world.returns.number in page(client, key_of(second)).text
