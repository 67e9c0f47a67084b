"""The landholder's page: one private address, their own land only, and answers that are kept."""

import html
import re
from datetime import timedelta
from io import BytesIO
from uuid import uuid4

import pytest
from django.core import mail
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
from permissions.models import LandholderLink, SiteParty
from permissions.states import State
from reports.actions import concern_settled, issue_report
from reports.drafts import draft_for_hunt, photos_of
from reports.models import IssuedReport, Kind, LandholderAnswer
from reports.pdf import render_pdf
from tests import make
from tests.views.world import World, build, shared_world

pytestmark = pytest.mark.django_db


standing_world, world = shared_world(build)


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
def test_whatever_closed_an_address_the_answer_is_the_same(client: Client, world: World, name: str) -> None:
    key = key_of(world.link)
    first, last = ("0" if key[0] == "1" else "1"), ("A" if key[-1] == "B" else "B")
    altered = (first + key[1:], key[:-1] + last, key.split(":")[0], "x")
    texts = set()
    for closed in (*altered, key_of(world.expired_link), key_of(_revoked(world))):
        response = page(client, closed, name, **ADDRESSES[name])
        assert response.status_code == 410
        assert response["Referrer-Policy"] == "no-referrer"
        texts.add(response.text)
    assert len(texts) == 1
    assert "ask the club for a new one" in texts.pop()


def _revoked(world: World) -> LandholderLink:
    link = LandholderLink.objects.create(
        landholder=world.landholder, made_at=now(), made_by=world.secretary, expires_at=now() + timedelta(9)
    )
    return revoke_link(link.pk, by=world.secretary, at=now())


def test_a_wrong_address_costs_as_many_looks_as_an_expired_one(
    client: Client, world: World, django_assert_num_queries
) -> None:
    """The same work for each, so that time tells nobody which address once was one."""
    page(client, "x")
    for closed in ("x", key_of(world.link)[:-1] + "!", key_of(world.expired_link), key_of(_revoked(world))):
        with django_assert_num_queries(2):  # the link, and the club's name
            page(client, closed)


def test_a_revoked_address_is_closed_at_once(client: Client, world: World, key: str) -> None:
    assert page(client, key).status_code == 200
    revoke_link(world.link.pk, by=world.secretary, at=now())
    response = page(client, key)
    assert response.status_code == 410
    assert b"Ada Warp" not in response.content


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
    make.site(owner=world.landholder, name="Wold Piece")
    text = page(client, key).text
    assert "Wold Piece" in text
    assert world.site.name not in text.split("Your fields with us")[1]


def test_who_sold_all_their_land_gets_kind_words_and_nothing_else(
    client: Client, world: World, key: str
) -> None:
    world.site.parties.update(until=make.days(-1))
    for name, kwargs in (("landholder", {}), ("landholder_report", {"pk": world.returns.pk})):
        response = page(client, key, name, **kwargs)
        assert response.status_code == 410
        assert "Thank you for having had us" in html.unescape(response.text)
        assert world.site.name not in response.text
    assert IssuedReport.objects.filter(landholder=world.landholder).exists()  # the club's history stays


def test_a_new_owner_sees_only_from_their_own_first_day(client: Client, world: World) -> None:
    new = make.landholder(name="Bo Wold")
    link = LandholderLink.objects.create(
        landholder=new, made_at=now(), made_by=world.secretary, expires_at=now() + timedelta(9)
    )
    party = SiteParty.objects.create(
        site=world.site, landholder=new, capacity="owner", since=make.days(2), until=None
    )
    response = page(client, key_of(link))
    assert response.status_code == 410
    assert "Your page opens on" in response.text
    SiteParty.objects.filter(pk=party.pk).update(since=make.days(-3))
    before, after = (
        make.hunt(world.site, leader=world.leader, on=make.days(day), title=title, state="closed")
        for day, title in ((-4, "Before Bo"), (-2, "In Bo's time"))
    )
    old, young = make.find(before, world.member), make.find(after, world.member)
    text = html.unescape(page(client, key_of(link)).text)
    assert "In Bo's time" in text
    assert "Before Bo" not in text
    assert young.number in text
    assert old.number not in text


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
    make.site(owner=world.landholder)
    assert send(client, key, "landholder_pause", {"words": "x"}, pk=world.permission.pk).status_code == 404


def test_the_link_opens_nothing_behind_the_sign_in(client: Client, key: str) -> None:
    page(client, key)
    assert client.get("/").status_code == 302


def test_a_second_link_of_the_same_landholder_reads_the_same(client: Client, world: World) -> None:
    second = LandholderLink.objects.create(
        landholder=world.landholder, made_at=now(), made_by=world.secretary, expires_at=now() + timedelta(1)
    )
    assert world.returns.number in page(client, key_of(second)).text


def test_the_key_is_in_no_line_of_the_log_and_in_no_title(
    client: Client, world: World, key: str, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level("DEBUG", logger="django.request"):
        expired = key_of(world.expired_link)
        page(client, expired)
        page(client, key, "landholder_report", pk=999999)
    lines = [record.getMessage() for record in caplog.records if record.name == "django.request"]
    assert len(lines) == 2
    assert not [line for line in lines if key in line or expired in line]
    title = re.search(r"<title>(.*?)</title>", page(client, key).text)
    assert title is not None
    assert title[1].startswith("Your land")


def test_no_search_engine_cache_or_other_site_learns_of_the_page(
    client: Client, world: World, key: str
) -> None:
    for name, kwargs in ADDRESSES.items():
        own = {"pk": world.returns.pk, "photo": f"find-{world.photo.pk}"}
        response = page(client, key, name, **{field: own[field] for field in kwargs})
        if response.streaming:
            b"".join(response.streaming_content)
        assert response.status_code == 200
        assert response["X-Robots-Tag"] == "noindex, nofollow"
        assert "no-store" in response["Cache-Control"]
        # A page with forms: to other sites it names nothing either, and its own forms still say where they come from.
        pages = response["Content-Type"].startswith("text/html")
        assert response["Referrer-Policy"] == ("same-origin" if pages else "no-referrer")


@pytest.mark.parametrize(
    ("name", "what", "words"),
    [
        ("landholder_question", "question", "Is the ring worth anything?"),
        ("landholder_invite", "invited", "Long Lands, after the barley"),
        ("landholder_concern", "concern", "a gate stood open"),
    ],
)
def test_what_is_written_is_kept_once_mailed_to_the_secretary_and_answered(
    client: Client,
    world: World,
    key: str,
    name: str,
    what: str,
    words: str,
    django_capture_on_commit_callbacks,
) -> None:
    data = {"client_id": uuid4(), "words": words, "signed_name": "Ada"}
    with django_capture_on_commit_callbacks(execute=True):
        for _ in range(2):
            assert send(client, key, name, data).status_code == 302
    answer = LandholderAnswer.objects.get(words=words)
    assert answer.what == what
    letters = [letter for letter in mail.outbox if words in letter.body]
    assert [letter.to for letter in letters] == [[world.secretary.email]]
    people = Client()
    people.force_login(world.secretary)
    assert "Ada Warp" in people.get("/").text
    concern_settled(answer.pk, by=world.secretary, at=now(), words="We will ring you on Monday.")
    assert "We will ring you on Monday." in page(client, key).text


@pytest.mark.parametrize("name", ["landholder_question", "landholder_invite"])
def test_an_empty_question_keeps_what_was_typed(client: Client, key: str, name: str) -> None:
    response = send(client, key, name, {"words": "", "signed_name": "Ada of Saltmere"})
    assert 'value="Ada of Saltmere"' in response.text
    assert "Nothing was saved yet" in response.text
