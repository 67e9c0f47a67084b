"""Everybody is answered in their own language, or the club's; papers and letters go by whoever they are for."""

import re
from collections.abc import Iterator
from datetime import date

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import translation

from people.languages import language_of, speaking
from people.letter_kinds import LetterKind
from people.letters import compose
from people.models import Club, User
from permissions.links import key_of
from reports.blocks import Report
from reports.content import from_data, to_data
from reports.pdf import render_pdf
from reports.pdf_words import pdf_words
from tests import make
from tests.views.world import World, build, shared_world

standing_world, world = shared_world(build)
pytestmark = pytest.mark.once


@pytest.fixture(autouse=True)
def _english_afterwards() -> Iterator[None]:
    """An answer leaves its language to the next one; the next test begins as a fresh process does."""
    yield
    translation.deactivate()


def tag(response: HttpResponse) -> tuple[str, str]:
    """What the page says of its language, in its markup and in its header (RFC 9110, 8.5)."""
    return response.content.decode().partition('<html lang="')[2].partition('"')[0], response[
        "Content-Language"
    ]


def speaks(user: User, language: str) -> None:
    user.language = language
    user.save(update_fields=["language"])


def club_speaks(language: str) -> None:
    Club.objects.filter(pk=1).update(language=language)


def test_who_chose_a_language_gets_it(world: World, client: Client) -> None:
    speaks(world.member, "nl")
    client.force_login(world.member)
    assert tag(client.get(reverse("today"))) == ("nl", "nl")


def test_who_chose_none_gets_the_clubs(world: World, client: Client) -> None:
    client.force_login(world.member)
    assert tag(client.get(reverse("today"))) == ("en-GB", "en-gb")
    club_speaks("nl")
    assert tag(client.get(reverse("today"))) == ("nl", "nl")


def test_the_browsers_wish_counts_only_while_nobody_is_known(world: World, client: Client) -> None:
    asked = {"headers": {"accept-language": "fr;q=0.9, nl-BE;q=0.8, en;q=0.1"}}
    response = client.get(reverse("people:sign_in"), **asked)
    assert tag(response) == ("nl", "nl")
    assert "Accept-Language" in response["Vary"]
    client.force_login(world.member)
    response = client.get(reverse("today"), **asked)
    assert tag(response) == ("en-GB", "en-gb")
    assert "Accept-Language" not in response["Vary"]


def test_a_browser_without_a_wish_that_is_known_gets_the_clubs(world: World, client: Client) -> None:
    club_speaks("nl")
    for wish in ("", "fr", "*", "xx;q=x"):
        assert tag(client.get(reverse("people:sign_in"), headers={"accept-language": wish})) == ("nl", "nl")


def test_a_landholders_page_is_in_the_landholders_language(world: World, client: Client) -> None:
    world.landholder.language = "nl"
    world.landholder.save(update_fields=["language"])
    url = reverse("reports:landholder", args=[key_of(world.link)])
    assert tag(client.get(url, headers={"accept-language": "en"})) == ("nl", "nl")


def test_a_landholder_without_a_language_gets_the_clubs(world: World, client: Client) -> None:
    url = reverse("reports:landholder", args=[key_of(world.link)])
    response = client.get(url, headers={"accept-language": "nl"})
    assert tag(response) == ("en-GB", "en-gb")
    assert "Accept-Language" not in response.get("Vary", "")


def test_a_person_chooses_on_their_own_page(world: World, client: Client) -> None:
    client.force_login(world.member)
    data = {"name": world.member.name, "language": "nl"}
    assert client.post(reverse("people:me"), data).status_code == 302
    assert User.objects.get(pk=world.member.pk).language == "nl"
    assert client.post(reverse("people:me"), data | {"language": "tlh"}).status_code == 200
    assert User.objects.get(pk=world.member.pk).language == "nl"


def test_the_club_chooses_and_a_form_that_does_not_ask_changes_nothing(world: World, client: Client) -> None:
    client.force_login(world.secretary)
    data = {"name": "R", "jurisdiction": "england", "units": "ha", "currency": "GBP", "find_prefix": "R"}
    assert client.post(reverse("people:club_settings"), data | {"language": "nl"}).status_code == 302
    assert client.post(reverse("people:club_settings"), data).status_code == 302
    assert Club.objects.get(pk=1).language == "nl"


def test_a_letter_is_in_the_language_of_its_reader(db: None) -> None:
    make.club()
    reader = make.person(name="Sil Wadden")
    speaks(reader, "nl")
    with translation.override("en-gb"):
        facts = {"person": reader, "number": "C-1"}
        letter = compose(reader.email, LetterKind.CLUB, "finds/mail/case_message", facts)
        assert translation.get_language() == "en-gb"
    assert 'lang="nl"' in letter.html


def test_without_a_reader_of_its_own_language_a_letter_is_in_the_clubs(db: None) -> None:
    make.club()
    club_speaks("nl")
    assert language_of({"person": make.person()}) == language_of({}) == ""
    with speaking(""):
        assert translation.get_language() == "nl"


def test_a_report_keeps_the_language_it_was_made_in() -> None:
    with translation.override("nl"):
        report = Report("visit", "V-1", "T", "", "R", date(2026, 11, 26), (), ())
    assert from_data(to_data(report)).language == "nl"
    assert b"nl" in re.findall(rb"/Lang ?\(([^)]*)\)", render_pdf(report, {}))[0]


def test_a_date_in_a_paper_is_said_in_its_language() -> None:
    said = {}
    for language in ("en-gb", "nl"):
        with translation.override(language):
            said[language] = pdf_words(date(2026, 3, 1))["issued"]
    assert said["en-gb"] == "Issued 1 March 2026"
    assert said["nl"].endswith("1 maart 2026")
