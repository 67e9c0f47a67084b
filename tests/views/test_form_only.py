"""An address that takes a form only answers a reader with a page, and so does a form of which there is too much.

RFC 9110, 15.5.6 (a 405 carries Allow) and 15.5.14 (413 for content that is too large). What the pages say is our own.
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


def test_too_much_text_says_how_much_is_taken(settings: Any, client_of: Any, member: User) -> None:
    settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 1024 * 1024
    answer = client_of(member).post(reverse("people:me"), {"name": "Mo" * 600_000})
    assert answer.status_code == 413
    assert "more than 1 MB of text" in answer.text
    assert 'href="/"' in answer.text
    assert User.objects.get(pk=member.pk).name == member.name


def test_too_many_fields_say_so_and_other_bad_requests_stay_as_they_were(
    settings: Any, client_of: Any, member: User
) -> None:
    settings.DATA_UPLOAD_MAX_NUMBER_FIELDS = 5
    answer = client_of(member).post(reverse("people:me"), {f"f{number}": "1" for number in range(9)})
    assert (answer.status_code, "more fields or files" in answer.text) == (413, True)
    wrong = client_of(member).get(reverse("people:me"), headers={"host": "elsewhere.example"})
    assert (wrong.status_code, "was not complete" in wrong.text) == (400, True)


def test_a_stale_form_is_not_called_shut(member: User) -> None:
    """Where it came from is the matter, not a right: the page says that nothing was saved and what to do."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(member)
    answer = client.post(reverse("people:me"), {"name": "Mo"})
    assert answer.status_code == 403
    assert "<h1>That form was not taken</h1>" in answer.text
    assert "Nothing was saved" in answer.text
