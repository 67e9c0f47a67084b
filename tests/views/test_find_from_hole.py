"""A find opened from its hole starts with what was logged there, and takes the hole's place where none is given."""

import pytest
from django.test import Client
from django.urls import reverse

from people.models import User
from tests import make
from tests.views.test_finds import recorded, typed

pytestmark = pytest.mark.django_db


@pytest.fixture
def hunt(member: User, leader: User):
    hunt = make.hunt(leader=leader, state="running", starts_at="00:01", ends_at="23:59")
    make.attendance(hunt, member)
    hunt.refresh_from_db()
    return hunt


def test_the_page_starts_with_the_holes_digger_and_depth(client: Client, hunt, leader, member) -> None:
    hole = make.hole(hunt, member, depth_cm=17)
    client.force_login(leader)
    page = client.get(reverse("finds:record", args=[hunt.pk]), {"hole": hole.pk})
    form = page.context["form"]
    assert (form["finder"].value(), form["depth_cm"].value()) == (member.pk, 17)
    assert client.get(reverse("finds:record", args=[hunt.pk]), {"hole": "x"}).status_code == 200


def test_a_find_without_a_place_lies_where_its_hole_does(client: Client, hunt, leader, member) -> None:
    hole = make.hole(hunt, member)
    client.force_login(leader)
    find = recorded(client, hunt, typed(hunt, member, position_text="", hole=hole.pk))
    assert (find.lon, find.lat, find.accuracy_m) == (hole.lon, hole.lat, hole.accuracy_m)
    assert find.placing == "inside"


@pytest.mark.parametrize("case", ["another's hole", "locked hole"])
def test_no_place_is_taken_that_the_writer_may_not_see(client: Client, hunt, leader, member, case) -> None:
    hole = make.hole(hunt, leader if case == "another's hole" else member, locked=case == "locked hole")
    client.force_login(leader)
    assert recorded(client, hunt, typed(hunt, member, position_text="", hole=hole.pk)).lon is None


def test_the_find_names_its_hole_to_all_and_leads_to_it_who_may_open_it(
    client: Client, hunt, leader, member
) -> None:
    find = make.find(hunt, member, hole=make.hole(hunt, member))
    page = reverse("hunts:hole_detail", args=[find.hole_id])
    for reader, opens in ((member, True), (leader, True), (make.person(name="Wyn Sandeman"), False)):
        client.force_login(reader)
        said = client.get(reverse("finds:detail", args=[find.pk])).content.decode()
        assert str(find.hole) in said
        assert (page in said, client.get(page).status_code == 200) == (opens, opens)
