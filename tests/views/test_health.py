"""What machines are told: 200 or 503, without a word of why, without a cookie, without HTTPS."""

from datetime import timedelta
from typing import Any

import pytest
from django.core.cache import cache
from django.core.files.storage import FileSystemStorage
from django.db import DatabaseError
from django.db.migrations.recorder import MigrationRecorder
from django.test import Client
from django.utils.timezone import now

from keeping import health
from people.models import Letter
from tests import make_letters

pytestmark = pytest.mark.django_db
BOTH = ["/health/", "/health/ready/"]


@pytest.mark.parametrize("path", BOTH)
def test_all_is_well(path: str, settings: Any) -> None:
    settings.SECURE_SSL_REDIRECT = True  # whoever asks from inside has no certificate
    answer = Client().get(path)
    assert (answer.status_code, answer.content, answer["Content-Type"]) == (
        200,
        b"ok\n",
        "text/plain; charset=utf-8",
    )
    assert not answer.cookies
    assert Client().head(path).status_code == 200
    assert Client().post(path).status_code == 403  # nothing is sent in the open
    assert Client().post(path, secure=True).status_code == 405


@pytest.fixture
def said(caplog: pytest.LogCaptureFixture) -> Any:
    """What the log says is wrong, after both were asked; the answers say nothing of it."""

    def said(*statuses: int) -> str:
        answers = [Client().get(path) for path in BOTH]
        assert tuple(answer.status_code for answer in answers) == statuses
        assert all(answer.content == b"not ok\n" for answer in answers if answer.status_code == 503)
        return caplog.text

    return said


def test_a_database_that_does_not_answer(said: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def gone(self: Any) -> None:
        raise DatabaseError("connection to server at 10.0.0.5 failed: password for club")

    monkeypatch.setattr(MigrationRecorder, "applied_migrations", gone)
    text = said(503, 503)
    assert "Not healthy: database" in text
    assert "10.0.0.5" not in text


def test_a_migration_that_is_missing(said: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(health, "_wanted", lambda: frozenset({("finds", "9999_flying")}))
    assert "Not healthy: migrations" in said(503, 503)


def test_photographs_that_cannot_be_stored(said: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(self: Any, name: str, content: Any) -> str:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(FileSystemStorage, "_save", full)
    assert "Not healthy: storage" in said(503, 503)
    monkeypatch.undo()
    assert Client().get("/health/").status_code == 503  # asked again after a minute, not at every call
    cache.clear()
    assert Client().get("/health/").status_code == 200


def test_letters_that_nobody_sends_are_a_fault_but_no_reason_to_send_readers_away(said: Any) -> None:
    letter = make_letters.waiting()
    Letter.objects.filter(pk=letter.pk).update(next_try_at=now() - timedelta(minutes=29), expires_at=None)
    said(200, 200)
    Letter.objects.filter(pk=letter.pk).update(next_try_at=now() - timedelta(minutes=31))
    assert "Not healthy: letters" in said(503, 200)
