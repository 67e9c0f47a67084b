"""A pair and a group beside what the world holds, made when a row first asks for them and found again after."""

from typing import Any
from uuid import uuid4

from django.utils.timezone import now

from finds.actions import ask_finder, make_group, propose_pair
from finds.models import FindGroup, PairSuggestion
from tests import make
from tests.views.world import World


def pair(world: World) -> PairSuggestion:
    """The member's own word that the world's two finds of theirs belong together; one of the two is locked."""
    there = PairSuggestion.objects.filter(first=world.find, second=world.locked).first()
    return there or propose_pair(
        world.find.pk, world.locked.number, by=world.member, at=now(), words="one plough line"
    )


def asked(world: World) -> PairSuggestion:
    """The leader's hoard and the member's, about which both are asked."""
    finds = {"first": world.locked, "second": world.others_locked}
    there = PairSuggestion.objects.filter(**finds).first()
    if there is None:
        there = PairSuggestion.objects.create(
            **finds,
            score=7,
            distance_m=2.0,
            reach_m=7.1,
            facts_digest="0" * 64,
            made_at=now(),
            changed_at=now(),
        )
        ask_finder(there.pk, by=world.committee, at=now(), words="in which order?")
    return there


def group(world: World) -> FindGroup:
    """Two buttons of the member's in one group."""
    there = FindGroup.objects.filter(reasons="sewn to one cloth").first()
    if there is not None:
        return there
    buttons = [make.find(world.hunt, world.member) for _ in range(2)]
    numbers = [find.number for find in buttons]
    return make_group(numbers, by=world.committee, at=now(), reasons="sewn to one cloth", client_id=uuid4())


def in_group(world: World) -> dict[str, Any]:
    there = group(world)
    return {"pk": there.pk, "find": there.finds.order_by("pk")[0].pk}
