"""What the tests of signing in share: signing in as people do, what the trail says, and the letters that left."""

import re
from collections.abc import Callable
from typing import Any

from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now

from people.models import AuditEntry, User
from people.outbox import send_due
from tests import make

NEW_PASSWORD = "wet-sand-and-small-change-77"
CHROME = "Mozilla/5.0 (Linux; Android 14; K) Chrome/130.0 Mobile Safari/537.36"
Commits = Callable[..., Any]


def sign_in(person: User, password: str = make.PASSWORD, client: Client | None = None) -> Client:
    client = client or Client(HTTP_USER_AGENT=CHROME)
    client.post(reverse("people:sign_in"), {"login": person.email, "password": password})
    return client


def is_in(client: Client) -> bool:
    return client.get(reverse("people:me")).status_code == 200


def verbs() -> list[str]:
    return list(AuditEntry.objects.order_by("pk").values_list("verb", flat=True))


def letters() -> list[Any]:
    send_due(clock=now)
    found, mail.outbox[:] = list(mail.outbox), []
    return found


def way_in(message: Any) -> str:
    found = re.search(r"https?://testserver(/\S+)", message.body)
    assert found
    return found[1]


def sign_in_quickly(person: User) -> Client:
    client = Client()
    client.force_login(person)
    return client
