"""The pages about pairs and groups: bounded, without a place, and kind to whoever comes second or types nothing."""

from itertools import pairwise

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import now

from finds.actions import decide_apart
from finds.models import FindspotView, PairSuggestion
from reports.today import today_for
from tests import make
from tests.views import pairs_world
from tests.views.world import World, build, shared_world

pytestmark = pytest.mark.django_db


standing_world, world = shared_world(build)


def client_of(user) -> Client:
    client = Client()
    client.force_login(user)
    return client


def more_pairs(world: World, count: int) -> None:
    finds = [make.find(world.hunt, world.member) for _ in range(count + 1)]
    PairSuggestion.objects.bulk_create(
        PairSuggestion(
            first=one, second=two, score=6, distance_m=1.0, reach_m=7.1, reasons=[{"words": "Near.", "points": 3}],
            facts_digest="0" * 64, made_at=now(), changed_at=now(),
        )
        for one, two in pairwise(finds)
    )  # fmt: skip


def test_the_list_asks_as_often_for_fifty_pairs_as_for_one(world: World) -> None:
    client, address, costs = client_of(world.committee), reverse("finds:pair_list"), []
    more_pairs(world, 1)
    client.get(address)
    for more in (0, 50):
        more_pairs(world, more)
        with CaptureQueriesContext(connection) as asked:
            assert client.get(address).status_code == 200
        costs.append(len(asked))
    assert costs[0] == costs[1]


def test_a_pair_with_a_locked_find_shows_a_distance_and_no_place_so_nobody_looked(world: World) -> None:
    pair, looks = pairs_world.asked(world), FindspotView.objects.count()
    page = client_of(world.committee).get(reverse("finds:pair_detail", args=[pair.pk])).text
    assert world.locked.number in page
    assert "0.1512" not in page
    assert "53.6007" not in page
    assert FindspotView.objects.count() == looks


def test_a_finder_who_is_asked_reads_the_question_and_not_the_others_locked_find(world: World) -> None:
    pair = pairs_world.asked(world)
    page = client_of(world.member).get(reverse("finds:pair_answer", args=[pair.pk])).text
    assert "in which order?" in page
    assert world.locked.number in page
    assert world.others_locked.number not in page
    assert "2.0 m" not in page


def test_reasons_are_asked_for_where_none_were_typed(world: World) -> None:
    pair = pairs_world.pair(world)
    response = client_of(world.committee).post(
        reverse("finds:pair_decide", args=[pair.pk, "same"]), {"words": " "}
    )
    assert response.status_code == 200
    assert response.context["decisions"][0]["form"].errors["words"]
    pair.refresh_from_db()
    assert pair.state == "open"


def test_the_second_decision_is_answered_in_words(world: World) -> None:
    pair = pairs_world.pair(world)
    decide_apart(pair.pk, by=world.committee, at=now(), words="a drain lies between them")
    address = reverse("finds:pair_decide", args=[pair.pk, "same"])
    page = client_of(world.committee).post(address, {"words": "touching"}, follow=True).text
    assert "This was done already by Cora Boulder" in page
    assert "a drain lies between them" in page


def test_a_number_that_is_not_ones_own_stays_typed_with_the_remedy(world: World) -> None:
    address = reverse("finds:together", args=[world.find.pk])
    typed = {"number": world.others_locked.number, "words": "one furrow"}
    page = client_of(world.member).post(address, typed).text
    assert f"You have no other find {world.others_locked.number}" in page
    assert "one furrow" in page


def test_today_tells_the_committee_how_many_and_the_finder_what(world: World) -> None:
    pairs_world.pair(world)
    pairs_world.asked(world)
    groups = {
        who: {g.title: g for g in today_for(world.reader(who), at=now())} for who in ("committee", "member")
    }
    assert groups["committee"]["Pairs to look at"].items[0].title == "2 pairs to look at"
    assert groups["member"]["The committee asks about my finds"].items[0].title == world.locked.number
    assert "Pairs to look at" not in groups["member"]


def test_a_group_is_shown_in_the_order_of_finding(world: World) -> None:
    group = pairs_world.group(world)
    page = client_of(world.committee).get(reverse("finds:group_detail", args=[group.pk])).text
    first, second = group.finds.order_by("found_at", "pk")
    assert page.index(first.number) < page.index(second.number)
    assert "sewn to one cloth" in page
