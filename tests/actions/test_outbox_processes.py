"""The outbox with real processes: one that is killed in the middle, and two that send at once."""

import email
import os
import re
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.utils.timezone import now, timedelta

from people.models import Letter
from tests import make_letters, smtp_server
from tests.smtp_server import MailServer

pytestmark = pytest.mark.django_db(transaction=True)

ROOT = Path(__file__).resolve().parents[2]
Environment = dict[str, str]


def written(*, count: int, people: int) -> None:
    """The outbox holds nothing but these letters, which wait."""
    Letter.objects.all().delete()
    for n in range(count):
        make_letters.waiting(to=f"p{n % people}@marram.example", subject=f"{n:02}")


def looked_at() -> tuple[int, int]:
    """How many letters somebody has to look at in a while, and how many wait."""
    return Letter.objects.to_look_at(now() + timedelta(minutes=11)).count(), Letter.objects.waiting().count()


@pytest.fixture
def server() -> Iterator[MailServer]:
    with smtp_server.running() as running:
        yield running


@pytest.fixture
def environment(server: MailServer) -> Environment:
    """The senders work on this test's own database."""
    name = connection.settings_dict["NAME"]
    url = f"sqlite:///{name}"
    if connection.vendor == "postgresql":
        url = re.sub(r"/[^/?]*(\?|$)", rf"/{name}\1", os.environ["DATABASE_URL"], count=1)
    return {
        **os.environ,
        "DATABASE_URL": url,
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "DJANGO_SECRET_KEY": "only-for-this-test",
        "DJANGO_DEBUG": "1",
        "EMAIL_URL": f"smtp://127.0.0.1:{server.port}",
    }


def start(environment: Environment) -> subprocess.Popen[Any]:
    command = [sys.executable, "manage.py", "send_letters"]
    return subprocess.Popen(
        command, cwd=ROOT, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )


def wait_for(is_so: Callable[[], Any]) -> None:
    until = time.monotonic() + 60
    while not is_so():
        assert time.monotonic() < until
        time.sleep(0.05)


@pytest.mark.parametrize(("verb", "arrived"), [("END", 1), ("CONNECT", 0)])
def test_a_sender_killed_between_claim_and_result_leaves_a_letter_for_somebody_to_decide(
    server: MailServer, environment: Environment, verb: str, arrived: int
) -> None:
    """kill -9: nothing can be tidied up by the process itself, so only what it wrote before counts."""
    written(count=1, people=1)
    server.say[verb] = None
    sender = start(environment)
    wait_for(lambda: server.received if arrived else server.talks)
    sender.kill()
    sender.wait()
    server.say.clear()
    assert start(environment).wait(timeout=120) == 0
    assert len(server.received) == arrived
    assert looked_at() == (1, 0)


def test_two_senders_at_once_send_each_letter_once_and_in_order(
    server: MailServer, environment: Environment
) -> None:
    written(count=40, people=8)
    server.meet = 2
    senders = [start(environment) for _ in range(2)]
    assert [sender.wait(timeout=120) for sender in senders] == [0, 0]
    assert start(environment).wait(timeout=120) == 0  # what the one left behind the other's letter in hand
    subjects: dict[str, list[str]] = {}
    for to, raw in server.received:
        subjects.setdefault(to, []).append(email.message_from_bytes(raw)["Subject"])
    assert Counter(len(each) for each in subjects.values()) == {5: 8}
    for each in subjects.values():
        assert each == sorted(each)
