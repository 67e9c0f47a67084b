"""E-mail as people meet it: every template, the outbox page, what one is sent, and the address that stops a kind."""

import email
import email.policy
import re
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from django.conf import settings as project
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now

from people import actions, checks
from people.letter_kinds import OPTIONAL, LetterKind
from people.letters import compose, queue
from people.mail_choices import stop_key
from people.models import Letter, MailStop, UnusualReading, User
from people.outbox import send_due
from permissions.actions import change_landholder, erase_landholder
from permissions.links import key_of
from reports.today import today_for
from tests import make, make_kit, make_letters
from tests.views.locked_place import FIND_TRACES, HOLE_TRACES, arranged
from tests.views.world import World


@pytest.fixture
def world(db: None) -> World:
    return arranged()


pytestmark = pytest.mark.django_db

FOLDER = Path(project.BASE_DIR) / "templates"
TEMPLATES = sorted(
    str(path.relative_to(FOLDER)).removesuffix("_subject.txt") for path in FOLDER.glob("*/mail/*_subject.txt")
)
HOSTILE = "Åse\r\nBcc: all@marram.example\u2028Ńowak 🌾 <b>&amp;{{ x }}"


@pytest.fixture(autouse=True)
def _public(settings: Any) -> None:
    settings.PUBLIC_URL = "https://club.example"


def facts(world: World) -> dict[str, Any]:
    """What templates may be given, with a locked find and its hole wherever one could slip in."""
    return {
        "person": world.member,
        "user": world.member,
        "hunt": world.hunt,
        "hunts": [world.hunt],
        "lone": make_kit.lone(world.member),
        "names": [HOSTILE],
        "minutes": 30,
        "find": world.locked,
        "hole": world.hole,
        "case": world.case,
        "request": world.sign_request,
        "signer": world.sign_request,
        "permission": world.permission,
        "issue": world.sign_request.issue,
        "landholder": world.landholder,
        "groups": today_for(world.committee, at=now()),
        "count": 2,
        "today": make.days(0),
        "until": now(),
        "when": now(),
        "what": HOSTILE,
        "by": HOSTILE,
        "hours": 24,
        "secretary": True,
        "row": UnusualReading(reader=world.member, places=12, within="an hour", noticed_at=now()),
        "why": HOSTILE,
        "words": HOSTILE,
        "sender": HOSTILE,
        "address": "https://club.example/x/",
        "protocol": "https",
        "domain": "club.example",
        "uid": "x",
        "token": "y",
    }


def test_every_template_says_no_place_parses_strictly_and_fetches_nothing(world: World) -> None:
    """Python's own parser with raise_on_defect (email.policy.strict) reads back what would leave."""
    known = facts(world)
    Letter.objects.all().delete()  # what the world itself wrote
    mail.outbox.clear()
    drafts = [
        compose(f"n{number}@marram.example", kind, template, known)
        for number, template in enumerate(TEMPLATES)
        for kind in (LetterKind.CLUB, LetterKind.DIGEST)
    ]
    assert len(queue(drafts, soon=False)) == 2 * len(TEMPLATES)
    send_due(clock=now)
    assert len(mail.outbox) == 2 * len(TEMPLATES)
    for sent in mail.outbox:
        check(email.message_from_bytes(sent.message().as_bytes(), policy=email.policy.strict))


def check(message: Any) -> None:
    template = TEMPLATES[int(message["To"].removeprefix("n").partition("@")[0])]
    plain, html = (message.get_body((part,)).get_content() for part in ("plain", "html"))
    for text in (str(message["Subject"]), plain, html):
        assert text.strip(), template
        assert not FIND_TRACES.search(text), template
        assert not HOLE_TRACES.search(text), template
    assert list(message.iter_attachments()) == [], template
    assert not re.search(r"<(img|script|link|iframe|object)|url\(|@import", html), template
    hosts = {urlsplit(found).netloc for found in re.findall(r'href="(https?:[^"]+)"', html)}
    assert hosts <= {"club.example"}, template
    assert "You get this because" in plain, template
    assert "You get this because" in html, template
    assert "<b>&amp;{{" not in html, template  # what somebody typed stays words
    assert message["Bcc"] is None, template


def test_a_newline_in_a_name_or_a_subject_starts_no_header(member: User) -> None:
    make.club(name=f"Sand {HOSTILE}")
    make_letters.waiting(member.email, reply_to="len@marram.example\nBcc: all@marram.example")
    hunt = make.hunt(title=HOSTILE, on=make.days(1))
    known = {"person": member, "hunt": hunt}
    queue([compose(member.email, LetterKind.HUNT, "hunts/mail/paused", known)], soon=False)
    send_due(clock=now)
    for sent in mail.outbox:
        message = email.message_from_bytes(sent.message().as_bytes(), policy=email.policy.strict)
        assert message["Bcc"] is None
        assert message["Reply-To"] is None
        assert message["To"] == member.email
        assert message["From"].endswith("<club@example.org>")
    assert "Åse Bcc: all@marram.example Ńowak 🌾" in mail.outbox[1].subject
    assert len(mail.outbox) == 2


@pytest.mark.parametrize("address", ["", "no address", "a@b.example\nBcc: c@d.example"])
def test_an_address_that_is_none_costs_the_letter_and_nothing_else(address: str) -> None:
    letter = make_letters.waiting(address)
    assert "is not an e-mail address" in letter.last_error
    assert list(Letter.objects.to_look_at(now())) == [letter]
    assert send_due(clock=now) == {}


# Turning kinds off


def test_optional_letters_carry_a_way_to_stop_them_with_one_click(member: User) -> None:
    """RFC 8058, sections 3.1 and 3.2: an https address, and a POST of exactly these words without cookies."""
    make_letters.waiting(member.email, LetterKind.SIGNED)
    send_due(clock=now)
    headers = mail.outbox[0].message()
    assert headers["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    address = re.fullmatch(r"<(https://club\.example/\S+)>", headers["List-Unsubscribe"])
    assert address is not None
    strict = Client(enforce_csrf_checks=True)
    path = urlsplit(address[1]).path
    assert strict.get(path).status_code == 200
    assert not MailStop.objects.exists()  # a program that only looks stops nothing
    for _ in range(2):
        assert strict.post(path, {"List-Unsubscribe": "One-Click"}).status_code == 200
    assert queue([make_letters.draft(member.email.upper(), LetterKind.SIGNED)], soon=False) == []
    assert len(queue([make_letters.draft(member.email, LetterKind.CLUB)], soon=False)) == 1
    strict.post(path, {"again": "1"})
    assert len(queue([make_letters.draft(member.email, LetterKind.SIGNED)], soon=False)) == 1


def test_duties_carry_none_and_cannot_be_turned_off(member: User) -> None:
    for kind in set(LetterKind) - set(OPTIONAL):
        make_letters.waiting(f"{kind.name.lower()}@marram.example", kind)
        assert (
            Client().post(reverse("people:mail_stop", args=[stop_key(member.email, kind)])).status_code == 410
        )
    send_due(clock=now)
    assert len(mail.outbox) == len(LetterKind) - len(OPTIONAL)
    assert all("List-Unsubscribe" not in message.message() for message in mail.outbox)


def test_an_altered_address_stops_nothing_and_says_so(member: User) -> None:
    answer = Client().post(
        reverse("people:mail_stop", args=[stop_key(member.email, LetterKind.SIGNED) + "x"])
    )
    assert answer.status_code == 410
    assert "is not complete" in answer.text
    assert not MailStop.objects.exists()


def test_the_list_of_the_day_is_stopped_by_its_address_too(member: User) -> None:
    Client().post(reverse("people:mail_stop", args=[stop_key(member.email, LetterKind.DIGEST)]))
    assert not User.objects.get(pk=member.pk).wants_digest


def test_members_choose_and_the_choice_moves_with_their_address(
    client: Client, secretary: User, member: User
) -> None:
    client.force_login(member)
    page = reverse("people:mail_choices")
    assert client.get(page).text.count("checked") == 2
    client.post(page, {"digest": "on"}, follow=True)
    assert client.get(page).text.count("checked") == 1
    actions.change_person(member.pk, by=secretary, at=now(), email="mo2@marram.example", is_active=True)
    assert queue([make_letters.draft("mo2@marram.example", LetterKind.SIGNED)], soon=False) == []
    assert len(queue([make_letters.draft(member.email, LetterKind.SIGNED)], soon=False)) == 1


def test_a_landholder_chooses_through_their_own_address(world: World) -> None:
    page = reverse("reports:landholder_mail", args=[key_of(world.link)])
    change_landholder(world.landholder.pk, by=world.secretary, at=now(), email="")
    assert "no e-mail address of yours" in Client().get(page).text
    change_landholder(world.landholder.pk, by=world.secretary, at=now(), email="ada@warp.example")
    assert "checked" in Client().get(page).text
    Client().post(page, {})
    assert "checked" not in Client().get(page).text
    assert queue([make_letters.draft("ada@warp.example", LetterKind.REPORT)], soon=False) == []
    change_landholder(world.landholder.pk, by=world.secretary, at=now(), email="ada@weft.example")
    assert queue([make_letters.draft("ada@weft.example", LetterKind.REPORT)], soon=False) == []


def test_erasing_a_landholder_takes_their_letters_along(secretary: User) -> None:
    gone = make.landholder(email="gone@warp.example")
    kept = [make_letters.waiting("gone@warp.example"), make_letters.given_up("gone@warp.example")]
    erase_landholder(gone.pk, by=secretary, at=now(), on=make.days(0))
    for letter in kept:
        letter.refresh_from_db()
        assert (letter.to, letter.text, letter.subject) == ("", "", "(erased)")
    assert send_due(clock=now) == {}


# The secretary's outbox


def test_the_outbox_shows_states_and_no_words(client: Client, secretary: User, member: User) -> None:
    make_letters.waiting(text="A private word.", html="<p>A private word.</p>")
    make_letters.given_up(to="una@marram.example")
    make_letters.perhaps_sent(to="gil@marram.example")
    client.force_login(secretary)
    page = client.get(reverse("people:outbox")).text
    for words in ("perhaps sent", "not sent", "550 No such user here", "waiting", "una@marram.example"):
        assert words in page
    assert "A private word" not in page
    assert "Letters that did not leave" in [group.title for group in today_for(secretary, at=now())]
    assert "Letters that did not leave" not in [group.title for group in today_for(member, at=now())]


@pytest.mark.parametrize("make_one", [make_letters.given_up, make_letters.perhaps_sent])
def test_send_again_and_put_aside(client: Client, secretary: User, make_one: Any) -> None:
    client.force_login(secretary)
    again, aside = make_one(to="una@marram.example"), make_one(to="gil@marram.example")
    for _ in range(2):
        client.post(reverse("people:letter_again", args=[again.pk]))
        client.post(reverse("people:letter_close", args=[aside.pk]))
    assert send_due(clock=now) == {"sent": 1}
    assert [message.to for message in mail.outbox] == [["una@marram.example"]]
    client.post(reverse("people:letter_again", args=[aside.pk]))
    assert send_due(clock=now) == {}
    assert not Letter.objects.to_look_at(now()).exists()


def test_words_that_are_gone_cannot_be_sent_again(client: Client, secretary: User) -> None:
    letter = make_letters.given_up()
    Letter.objects.update(text="", html="")
    client.force_login(secretary)
    page = client.post(reverse("people:letter_again", args=[letter.pk]), follow=True).text
    assert "Write to mo@marram.example yourself" in page


def test_the_same_key_is_one_letter() -> None:
    for _ in range(2):
        queue([make_letters.draft(dedupe_key="visit:7")], soon=False)
    assert Letter.objects.count() == 1


# Settings


@pytest.mark.parametrize(
    ("changed", "ids"),
    [
        ({}, []),
        ({"EMAIL_BACKEND": "django.core.mail.backends.console.EmailBackend"}, ["stubble.W001"]),
        ({"DEFAULT_FROM_EMAIL": "Club <club@example.org>"}, ["stubble.W002"]),
        ({"PUBLIC_URL": ""}, ["stubble.W003"]),
        ({"PUBLIC_URL": "", "DEBUG": True}, []),
    ],
)
def test_mail_that_would_reach_nobody_is_said_in_words(
    settings: Any, changed: dict[str, Any], ids: list[str]
) -> None:
    settings.DEFAULT_FROM_EMAIL = "secretary@sand.test"
    for name, value in changed.items():
        setattr(settings, name, value)
    assert [found.id for found in checks.mail_is_set_up(None)] == ids
