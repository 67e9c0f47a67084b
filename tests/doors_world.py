"""A club with something in every collection: finds and holes round about, walks, and a place that nobody drew."""

from collections.abc import Iterable
from typing import Any
from uuid import uuid4

import numpy as np
from django.test import Client
from django.utils.timezone import now

from doors.actions import make_token
from doors.collections import COLLECTIONS
from doors.models import Purpose
from people.models import User
from people.rights import Role
from tests import ground, make
from tests.views.world import World, build

READERS = ("member", "leader", "secretary", "committee", "other_member", "other_leader")
SPREAD = 12
"""Finds, and holes, over four squares of a kilometre."""


def arrange() -> World:
    world = build()
    rng = np.random.default_rng(8)
    for number in range(SPREAD):
        lon, lat = 0.15 + 0.03 * float(rng.random()), 53.6 + 0.02 * float(rng.random())
        finder = (world.member, world.leader, world.committee)[number % 3]
        make.find(world.hunt, finder, lon=lon, lat=lat, object_type=("buckle", "button")[number % 2])
        make.hole(world.hunt, finder, lon=lon, lat=lat)
    make.find(world.hunt, world.leader, lon=None, lat=None, accuracy_m=None)
    make.hole(world.hunt, world.leader, locked=True)
    make.site(boundary={}, min_lon=None, min_lat=None, max_lon=None, max_lat=None, code="NOWHERE")
    make.past_outing(world.site, leader=world.leader)
    make.sign_up(world.hunt, world.leader)
    for number, person in enumerate((world.member, world.leader)):
        ground.track(world.hunt, person, ground.serpentine(lanes=5, y=-80 + 60 * number))
    return world


def account(world: World, reader: str) -> User:
    if reader == "other_member":
        return make.person(name="Ned Spit")
    if reader == "other_leader":
        return make.person(Role.LEADER, name="Lyn Ness")
    found = world.reader(reader)
    assert found is not None
    return found


def signed_in(user: User) -> Client:
    client = Client()
    client.force_login(user)
    return client


def key_for(user: User, *, collections: Iterable[str] = COLLECTIONS) -> str:
    """A key that opens these collections, all of them if nothing is said."""
    asked: dict[str, Any] = {"label": "map program", "purpose": Purpose.DATA, "days": 30}
    _token, key = make_token(by=user, at=now(), client_id=uuid4(), collections=collections, **asked)
    assert key is not None
    return key
