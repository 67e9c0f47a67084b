"""An address that takes a form only answers a reader with a page, not with nothing.

RFC 9110, 15.5.6: a 405 carries Allow. What the page says is our own.
"""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from people.models import User

pytestmark = pytest.mark.django_db


def test_a_reader_gets_a_page_and_the_verbs(client_of: Any, member: User) -> None:
    answer = client_of(member).get(reverse("people:sign_out"))
    assert answer.status_code == 405
    assert "POST" in answer["Allow"]
    page = answer.content.decode()
    assert "<h1>This address only takes a form</h1>" in page
    assert 'href="/"' in page


def test_other_verbs_and_readers_without_an_account_stay_as_they_were(client_of: Any, member: User) -> None:
    inside = client_of(member).post(reverse("finds:case_list"))
    assert (inside.status_code, inside.content) == (405, b"")
    assert Client().get(reverse("finds:case_list")).status_code == 302
