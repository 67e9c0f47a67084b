"""An altered address gets words, never a crash: PostgreSQL refuses U+0000 in text (its manual, section 8.3)."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now

from hunts.actions import fill_hole
from hunts.states import HoleState
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


@pytest.mark.parametrize("asked", ["9" * 19, "9" * 5000, "x", "-1"])
def test_a_plan_for_no_permission_is_not_found(asked: str, client_of: ClientOf, leader: User) -> None:
    assert client_of(leader).get(reverse("hunts:plan") + f"?permission={asked}").status_code == 404


@pytest.mark.parametrize(
    ("why", "said"), [("sunk\0", "Null characters are not allowed"), ("p" * 301, "at most 300 characters")]
)
def test_a_reason_that_cannot_be_kept_reopens_nothing_and_stays_typed(
    why: str, said: str, client_of: ClientOf, leader: User
) -> None:
    hole = make.hole(make.hunt(leader=leader), leader)
    fill_hole(hole.pk, by=leader, at=now())
    answer = client_of(leader).post(reverse("hunts:hole_reopen", args=[hole.pk]), {"why": why})
    page = answer.content.decode()
    assert said in page
    assert why.rstrip("\0") in page
    hole.refresh_from_db()
    assert (hole.state, hole.reopened_why) == (HoleState.FILLED, "")
