"""When the records were last kept and proved: on the secretary's Today, on a page, and noted there."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate, now

from keeping.actions import note_proof
from keeping.trail import note
from people.kept import last_kept
from people.models import AuditEntry, User
from reports.today import today_for
from tests import make

pytestmark = pytest.mark.django_db
AT = datetime(2026, 3, 20, 12, tzinfo=UTC)
DAY = timedelta(1)


@pytest.fixture(autouse=True)
def watched(settings: Any) -> None:
    settings.BACKUP_WARN_DAYS = 2
    make.club()


def backed_up(ago: timedelta) -> None:
    note("club.backup", via="backup", at=AT - ago, rows=1, files=0)


def proved(ago: timedelta, by: User) -> None:
    day = localdate(AT - ago)
    note_proof(made_on=day - DAY, proved_on=day, by=by, at=AT - ago)


def lines(user: User, at: datetime = AT) -> list[tuple[str, str]]:
    groups = [group for group in today_for(user, at=at) if group.title.startswith("Backups")]
    return [(item.status, item.title) for group in groups for item in group.items]


def test_the_secretary_is_told_what_is_missing_and_nobody_else(
    secretary: User, member: User, committee: User
) -> None:
    assert lines(secretary) == [("late", "No backup was ever made")]
    assert lines(member) == lines(committee) == []
    backed_up(DAY)
    assert lines(secretary) == [("soon", "No backup was ever proved")]
    proved(DAY, secretary)
    assert lines(secretary) == [("plain", "Last backup yesterday")]


@pytest.mark.parametrize(
    ("made", "proof", "says"),
    [
        (2 * DAY - timedelta(minutes=1), DAY, ("plain", "Last backup 2 days ago")),
        (2 * DAY + timedelta(minutes=1), DAY, ("late", "The last backup was made 2 days ago")),
        (9 * DAY, 50 * DAY, ("late", "The last backup was made 9 days ago")),
        (timedelta(0), 40 * DAY, ("plain", "Last backup today")),
        (timedelta(0), 41 * DAY, ("soon", "A backup was last proved 41 days ago")),
    ],
)
def test_two_days_without_a_backup_and_forty_without_a_proof_are_late(
    secretary: User, made: timedelta, proof: timedelta, says: tuple[str, str]
) -> None:
    backed_up(made)
    proved(proof, secretary)
    assert lines(secretary) == [says]


def test_a_club_may_say_that_nobody_is_to_be_told(secretary: User, settings: Any) -> None:
    settings.BACKUP_WARN_DAYS = 0
    assert lines(secretary) == []


def test_a_proof_is_noted_by_hand_once(client_of: Any, secretary: User) -> None:
    client, url = client_of(secretary), reverse("keeping:backups")
    assert "No backup was ever made" in client.get(url).content.decode()
    note("club.backup", via="backup", at=now(), rows=1, files=0)
    said = {"made_on": localdate() - DAY, "proved_on": localdate()}
    for _ in range(2):
        page = client.post(url, said, follow=True).content.decode()
        assert "It is noted that the backup was proved." in page
    assert (last_kept().proved, last_kept().proved_of) == (localdate(), localdate() - DAY)
    line = AuditEntry.objects.get(verb="club.backup_proved")
    assert line.by == secretary
    assert "notice late" not in page
    assert "notice caution" not in page


@pytest.mark.parametrize(
    ("made", "done", "words"),
    [
        (date(2026, 3, 1), date(2100, 1, 2), "2 Jan 2100 is still to come"),
        (date(2026, 3, 2), date(2026, 3, 1), "2 Mar 2026 is after 1 Mar 2026"),
    ],
)
def test_days_that_cannot_be_are_named_and_stay(
    client_of: Any, secretary: User, made: date, done: date, words: str
) -> None:
    client: Client = client_of(secretary)
    page = client.post(reverse("keeping:backups"), {"made_on": made, "proved_on": done}).content.decode()
    assert words in page
    assert f'value="{made}"' in page
    assert last_kept().proved is None
