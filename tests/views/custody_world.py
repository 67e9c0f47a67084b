"""What the pages about custody have to show, made in the world of the access matrix when a row asks for it."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

from django.core.files.base import ContentFile
from django.utils.timezone import now

from finds import actions
from finds.actions.custody import first_holder
from finds.hand_over_links import hand_over_key
from finds.hand_over_text import digest_of, items_of, text_of
from finds.models import ConditionPhoto, CustodyEntry, HandOver, HandOverItem, HandOverLink
from finds.models.hand_over import Side
from tests import make
from tests.views.world import World


def held(world: World) -> None:
    if not CustodyEntry.objects.filter(find=world.find).exists():
        first_holder(world.find, by=world.member, at=now())


def waiting(world: World, find: Any = None, **fields: Any) -> HandOver:
    """A hand-over of the member's find to the officer that waits for the receiver."""
    held(world)
    find = find or world.find
    there = HandOver.objects.waiting().filter(items__find=find).first()
    if there is not None:
        return there
    values = {"to_holder": "officer", "to_name": "Ida Drift", "purpose": "recording", "capacity": "finder"}
    values |= fields
    return actions.propose_hand_over([find.pk], by=world.secretary, at=now(), client_id=uuid4(), **values)


def item(world: World) -> HandOverItem:
    return waiting(world).items.all()[0]


def read(row: HandOver, side: str) -> str:
    return digest_of(text_of(row, items_of(row), side))


def address(world: World, side: str = Side.RECEIVER, days: int = 30) -> HandOverLink:
    return actions.make_hand_over_link(
        waiting(world).pk,
        side,
        by=world.secretary,
        at=now(),
        expires_at=now() + timedelta(days),
        client_id=uuid4(),
    )


def code(world: World) -> str:
    link = HandOverLink.objects.live(now()).filter(hand_over=waiting(world)).first()
    return hand_over_key(link or address(world))


def photo(world: World) -> ConditionPhoto:
    one = item(world)
    return one.photos.first() or condition_photo(one, world)


def condition_photo(of: HandOverItem, world: World, stage: str = "out", mark: str = "0") -> ConditionPhoto:
    picture = {"display": ContentFile(make.photo_bytes(), name="c.jpg")}
    picture["thumb"] = ContentFile(make.photo_bytes(), name="ct.jpg")
    size = {"width": 64, "height": 48, "original_sha256": mark * 64}
    return ConditionPhoto.objects.create(
        item=of, stage=stage, added_at=now(), added_by=world.secretary, **picture, **size
    )


def box(world: World) -> Any:
    from finds.models import Box

    there = Box.objects.first()
    said = {"name": "Iron 1", "kept_at": "Hut", "kind": "iron", "has_gel": True}
    return there or actions.save_box(None, by=world.secretary, at=now(), client_id=uuid4(), **said)
