"""The outbox against a mail server that is well, refuses, hangs, breaks off or is away for a day."""

import email
import email.policy
from collections.abc import Iterator
from datetime import timedelta
from itertools import pairwise
from typing import Any

import pytest
from django.utils.timezone import now

from people.letter_kinds import LetterKind
from people.models import Letter
from people.outbox import claim, send_due, send_soon, settle, tidy
from tests import make_letters, smtp_server
from tests.smtp_server import MailServer

pytestmark = pytest.mark.django_db


@pytest.fixture
def server(settings: Any) -> Iterator[MailServer]:
    with smtp_server.running() as running:
        for name, value in smtp_server.settings_for(running).items():
            setattr(settings, name, value)
        yield running


def send(after: timedelta = timedelta(0)) -> dict[str, int]:
    return dict(send_due(clock=lambda: now() + after))


def to(server: MailServer) -> list[str]:
    return [address for address, _ in server.received]


def test_a_letter_leaves_once_and_keeps_no_words(server: MailServer) -> None:
    letter = make_letters.waiting()
    assert send() == {"sent": 1}
    assert send() == {}
    assert to(server) == ["mo@marram.example"]
    letter.refresh_from_db()
    assert (letter.text, letter.html, letter.tries) == ("", "", 1)
    assert letter.sent_at is not None


def test_the_bytes_parse_strictly_and_carry_both_parts(server: MailServer) -> None:
    """Python's parser with raise_on_defect, header by header (email.policy.strict)."""
    letter = make_letters.waiting(subject="Überfällig: Åse Ńowak 🌾", text="Zoë\n", html="<p>Zoë</p>")
    send()
    raw = server.received[0][1]
    message = email.message_from_bytes(raw, policy=email.policy.strict)
    assert message["Subject"] == "Überfällig: Åse Ńowak 🌾"
    assert message["Message-ID"] == letter.message_id
    assert message["Auto-Submitted"] == "auto-generated"
    assert [part.get_content_type() for part in message.walk()] == [
        "multipart/alternative",
        "text/plain",
        "text/html",
    ]
    assert message.get_body(("plain",)).get_content() == "Zoë\r\n"
    assert list(message.iter_attachments()) == []
    assert max(len(line) for line in raw.split(b"\r\n")) <= 998  # RFC 5322, section 2.1.1


@pytest.mark.parametrize(
    ("answer", "outcome", "minutes"), [("451 try later", "later", 1), ("550 no such user", "never", None)]
)
def test_4xx_waits_and_5xx_is_given_up(
    server: MailServer, answer: str, outcome: str, minutes: int | None
) -> None:
    """RFC 5321, section 4.2.1: 4 is transient, 5 is permanent."""
    server.for_address["mo@marram.example"] = answer
    letter = make_letters.waiting()
    make_letters.waiting(to="una@marram.example")
    assert send() == {outcome: 1, "sent": 1}  # one reader's trouble stops nobody else's letter
    letter.refresh_from_db()
    assert letter.last_error == answer
    assert (letter.gave_up_at is None) is (minutes is not None)
    server.for_address.clear()
    assert send(timedelta(minutes=2)) == ({"sent": 1} if minutes else {})


@pytest.mark.parametrize("verb", ["CONNECT", "MAIL", "RCPT", "DATA", "END"])
def test_421_at_any_point_is_the_servers_trouble_and_the_letter_leaves_later(
    server: MailServer, verb: str
) -> None:
    server.say[verb] = "421 closing down"
    letter = make_letters.waiting()
    make_letters.waiting(to="una@marram.example")
    assert send() == {"server": 1}
    letter.refresh_from_db()
    assert (letter.trouble, letter.gave_up_at, letter.claimed_at) == ("server", None, None)
    server.say.clear()
    server.received.clear()
    assert send(timedelta(minutes=2)) == {"sent": 2}
    assert to(server) == ["mo@marram.example", "una@marram.example"]


@pytest.mark.parametrize("verb", ["CONNECT", "MAIL", "DATA"])
@pytest.mark.parametrize("how", [None, "CLOSE"])
def test_a_server_that_hangs_or_breaks_off_before_the_end_is_tried_again(
    server: MailServer, verb: str, how: str | None
) -> None:
    server.say[verb] = how
    make_letters.waiting()
    assert send() == {"server": 1}
    server.say.clear()
    assert send(timedelta(minutes=2)) == {"sent": 1}
    assert len(server.received) == 1


@pytest.mark.parametrize("how", [None, "CLOSE"])
def test_no_answer_after_the_end_is_perhaps_sent_and_never_tried_by_itself(
    server: MailServer, how: str | None
) -> None:
    """RFC 5321, section 4.5.3.2.6: only the reply to the end of the data says whose the message is."""
    server.say["END"] = how
    letter = make_letters.waiting()
    assert send() == {"unsure": 1}
    server.say.clear()
    for days in (0, 1, 5):
        assert send(timedelta(days)) == {}
    assert len(server.received) == 1
    assert list(Letter.objects.to_look_at(now())) == [letter]


def test_an_alarm_that_was_perhaps_sent_is_sent_again(server: MailServer) -> None:
    server.say["END"] = "CLOSE"
    letter = make_letters.waiting(kind=LetterKind.LATE)
    assert send() == {"unsure": 1}
    server.say.clear()
    assert send(timedelta(minutes=2)) == {}
    assert send(timedelta(minutes=6)) == {"sent": 1}
    ids = {email.message_from_bytes(raw)["Message-ID"] for _, raw in server.received}
    assert ids == {letter.message_id}  # so that a receiver can tell that it is the same


def test_a_server_that_breaks_off_while_saying_goodbye_has_taken_the_letter(server: MailServer) -> None:
    server.say["QUIT"] = "CLOSE"
    make_letters.waiting()
    assert send() == {"sent": 1}


def test_a_server_away_for_a_day_costs_no_letter_and_no_order(server: MailServer) -> None:
    start = now()
    names = [f"{name}@marram.example" for name in ("mo", "una", "gil")]
    letters = [make_letters.waiting(to=name, subject=f"{n}") for n in range(4) for name in names]
    server.say["CONNECT"] = "421 no service today"
    at = start
    while at < start + timedelta(days=1):
        assert "sent" not in send_due(clock=lambda at=at: at)
        at += timedelta(minutes=20)
    server.say.clear()
    while Letter.objects.waiting().exists() and at < start + timedelta(days=2):
        send_due(clock=lambda at=at: at)
        at += timedelta(minutes=20)
    subjects = {name: [] for name in names}
    for name, raw in server.received:
        subjects[name].append(email.message_from_bytes(raw)["Subject"])
    assert subjects == {name: ["0", "1", "2", "3"] for name in names}
    assert Letter.objects.filter(sent_at__isnull=False).count() == len(letters)


def test_an_older_letter_goes_first_and_alarms_and_accounts_overtake(server: MailServer) -> None:
    server.for_address["mo@marram.example"] = "451 try later"
    make_letters.waiting(subject="old")
    send()
    server.for_address.clear()
    for kind in (LetterKind.CLUB, LetterKind.ACCOUNT, LetterKind.LATE):
        make_letters.waiting(kind=kind, subject=kind.value)
    send()
    sent = [email.message_from_bytes(raw)["Subject"] for _, raw in server.received]
    assert sent == ["account", "late"]
    send(timedelta(minutes=2))
    sent = [email.message_from_bytes(raw)["Subject"] for _, raw in server.received]
    assert sent == ["account", "late", "old", "club"]


def test_the_first_try_does_not_wait_again_for_a_server_known_to_be_down(server: MailServer) -> None:
    server.say["CONNECT"] = "421 no"
    letters = [make_letters.waiting(to=f"p{n}@marram.example") for n in range(3)]
    send_soon([letters[0].pk], clock=now)
    send_soon([letters[1].pk, letters[2].pk], clock=now)
    assert server.talks == 1
    server.say.clear()
    send_soon([letters[1].pk, letters[2].pk], clock=lambda: now() + timedelta(minutes=3))
    assert to(server) == ["p1@marram.example", "p2@marram.example"]


def test_after_eleven_tries_a_letter_is_given_up_for_somebody_to_see(server: MailServer) -> None:
    server.for_address["mo@marram.example"] = "451 mailbox full"
    letter, at, tries = make_letters.waiting(), now(), []
    while not tries or letter.gave_up_at is None:
        letter.refresh_from_db()
        if letter.gave_up_at is None:
            at = sorted([at, letter.next_try_at])[-1]
            tries.append(at)
            send_due(clock=lambda at=at: at)
    assert len(tries) == 11
    gaps = [(b - a) / timedelta(minutes=1) for a, b in pairwise(tries)]
    for gap, step in zip(gaps, [1, 5, 15, 60, 240, *[720] * 5], strict=True):
        assert step * 0.79 <= gap <= step * 1.21
    assert Letter.objects.to_look_at(at).count() == 1


def test_what_is_over_is_not_sent_and_is_no_worry(server: MailServer) -> None:
    make_letters.waiting(expires_at=now() + timedelta(hours=1))
    assert send(timedelta(hours=2)) == {}
    tidy(at=now() + timedelta(hours=2))
    letter = Letter.objects.get()
    assert (letter.is_out_of_date, letter.text) == (True, "")
    assert not Letter.objects.to_look_at(now() + timedelta(hours=2)).exists()
    assert server.received == []


def test_a_claim_is_one_processes_alone() -> None:
    letter = make_letters.waiting()
    mine = claim(letter.pk, at=now())
    assert mine is not None
    assert claim(letter.pk, at=now()) is None
    stale = Letter(pk=mine.pk, claimed_at=mine.claimed_at - timedelta(minutes=20), tries=1)
    settle(stale, None, at=now())  # a process that was thought dead comes back late
    letter.refresh_from_db()
    assert letter.sent_at is None


def test_words_are_forgotten_after_30_days_and_rows_after_a_year() -> None:
    rows = [make_letters.perhaps_sent(), make_letters.given_up(to="una@marram.example")]
    Letter.objects.update(made_at=now() - timedelta(days=31))
    tidy(at=now())
    for row in rows:
        row.refresh_from_db()
        assert (row.text, row.html) == ("", "")
        assert row.gave_up_at is not None
    tidy(at=now() + timedelta(days=365))
    assert not Letter.objects.exists()
