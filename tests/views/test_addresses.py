"""An altered address gets words, never a crash: PostgreSQL refuses U+0000 in text (its manual, section 8.3)."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from people.models import User
from people.rights import Role
from tests import make

ClientOf = Callable[[User | None], Client]

ASKED = [
    ("finds:list", "q"),
    ("finds:list", "hunt"),
    ("hunts:incident_list", "hunt"),
    ("permissions:permission_list", "q"),
    ("permissions:landholder_list", "q"),
    ("people:person_list", "q"),
]


@pytest.mark.parametrize(("name", "field"), ASKED)
def test_a_nul_in_a_question_is_named_with_its_remedy(
    name: str, field: str, client_of: ClientOf, db: None
) -> None:
    answer = client_of(make.person(Role.SECRETARY, Role.LEADER)).get(reverse(name) + f"?{field}=a%00b")
    assert answer.status_code == 400
    assert "Take “%00” out of the address" in answer.content.decode()
    assert answer["Cache-Control"] == "private, no-store"


def test_a_nul_in_a_path_is_named_too(client: Client, db: None) -> None:
    answer = client.get("/l/a%00b/")
    assert answer.status_code == 400
    assert "%00" in answer.content.decode()
