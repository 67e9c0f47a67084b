"""The daily list: to each person what is due, once a day, tried again only when the mail server refused it."""

from datetime import timedelta
from io import StringIO
from smtplib import SMTPServerDisconnected
from typing import Any

import pytest
from django.core import mail
from django.core.management import CommandError, call_command
from django.utils.timezone import localdate, now

from hunts.models import Hole
from people.letter_kinds import LetterKind
from people.models import Letter, User
from people.outbox import send_due
from reports.actions import send_reminder
from reports.digest import digest_of
from reports.models import Reminder
from tests import make, make_letters

pytestmark = pytest.mark.django_db


@pytest.fixture
def hole(member: User, leader: User) -> Hole:
    """A hole that the member left open; two people are reminded of it: the digger and the leader."""
    make.club()
    hunt = make.hunt(leader=leader, state="closed", on=make.days(-2))
    return make.hole(hunt, member)


def remind(**options: Any) -> str:
    out = StringIO()
    call_command("remind", stdout=out, stderr=out, **options)
    return out.getvalue()


def to(user: User) -> list[Any]:
    return [message for message in mail.outbox if message.to == [user.email]]


def test_each_person_is_sent_what_is_due_in_text_and_html_without_a_place(member: User, hole: Hole) -> None:
    remind(address="https://club.example/")
    (message,) = to(member)
    assert "Holes not filled" in message.body
    assert f"https://club.example/hunts/holes/{hole.pk}/" in message.body
    assert message.alternatives[0].mimetype == "text/html"
    assert message.extra_headers["Auto-Submitted"] == "auto-generated"
    for words in (message.body, message.alternatives[0].content):
        assert str(hole.lon) not in words
        assert str(hole.lat) not in words


def test_run_twice_it_sends_once(member: User, hole: Hole) -> None:
    remind()
    before = len(mail.outbox)
    assert "0 sent" in remind()
    assert len(mail.outbox) == before
    assert Reminder.objects.get(user=member).sent_at is not None


def test_who_has_nothing_due_is_not_written_to(member: User, stranger: User) -> None:
    make.club()
    make.hunt(leader=member, on=make.days(1))  # the next hunt alone is no reason to write
    remind()
    assert to(member) == []
    assert to(stranger) == []


def test_what_is_due_later_waits(secretary: User) -> None:
    permission = make.permission(make.site(by=secretary))
    permission.consents.update(ends=make.days(20))
    soon, later = (digest_of(secretary, at=now(), days=days) for days in (14, 21))
    assert "Permissions and consents" not in [group.title for group in soon]
    assert "Permissions and consents" in [group.title for group in later]


def test_a_refused_list_is_tried_again_and_the_command_says_so(
    member: User, hole: Hole, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*args: Any, **kwargs: Any) -> int:
        raise SMTPServerDisconnected("Connection unexpectedly closed")

    with monkeypatch.context() as broken:
        broken.setattr("django.core.mail.backends.locmem.EmailBackend.send_messages", refuse)
        with pytest.raises(CommandError, match="send_letters tries those once more"):
            remind()
    assert to(member) == []
    assert send_due(clock=lambda: now() + timedelta(minutes=2))["sent"] >= 2
    assert len(to(member)) == 1


def test_a_run_that_died_before_sending_leaves_the_list_in_the_outbox(member: User, hole: Hole) -> None:
    draft = make_letters.draft(member.email, LetterKind.DIGEST)
    assert send_reminder(member, draft, via="command remind", at=now(), items=1) is not None
    assert send_reminder(member, draft, via="command remind", at=now(), items=1) is None
    assert Letter.objects.waiting().filter(to=member.email).count() == 1
    remind()
    assert len(to(member)) == 1


def test_who_turned_it_off_still_gets_duties(member: User, leader: User, hole: Hole) -> None:
    User.objects.update(wants_digest=False)
    out = make.hunt(leader=leader, state="running", on=make.days(-1))
    make.attendance(out, member)
    remind()
    assert to(member) == []
    (message,) = to(leader)
    assert "Still out" in message.body
    assert "Holes not filled" not in message.body
    assert "cannot wait" in message.body


def test_a_dry_run_names_people_and_sends_nothing(member: User, hole: Hole) -> None:
    assert member.name in remind(dry_run=True)
    assert mail.outbox == []
    assert Reminder.objects.count() == 0


def test_days_out_of_range_are_refused_with_the_value() -> None:
    with pytest.raises(CommandError, match="--days is 999; give 0 to 365"):
        remind(days=999)


def test_the_row_is_of_the_clubs_day(member: User, hole: Hole) -> None:
    remind()
    assert set(Reminder.objects.values_list("on", flat=True)) == {localdate()}
