"""Who gets what of the field page. Its JSON addresses answer 401 instead of sending a phone to the sign-in page."""

from typing import Any
from uuid import uuid4

from tests import make, make_field
from tests.views.access import INSIDERS, Row, who
from tests.views.world import World

NOBODY = who("anonymous link expired", 401) | who("stranger", 403)
IN = who(INSIDERS, 200) | NOBODY

ANYBODY = who(INSIDERS, 200) | who("anonymous link expired stranger", 200)

REFUSED = who(INSIDERS, 400) | NOBODY  # nothing that can be read was sent
OF_HUNT = who("member leader", 200) | NOBODY


def hunt(world: World) -> dict[str, Any]:
    return {"pk": world.hunt.pk}


def photo(world: World) -> dict[str, Any]:
    """A photograph that the member began to send."""
    return {"client_id": make_field.upload(world.member, uuid4()).client_id}


def own(world: World) -> dict[str, Any]:
    """A record of the member that came after the hunt."""
    return {"pk": make_field.parked(world.member, world.hunt).pk}


def parked_photo(world: World) -> dict[str, Any]:
    return {"pk": make_field.upload(world.member, uuid4(), state="parked", why="It is no photograph.").pk}


def late(world: World) -> dict[str, Any]:
    """The same of a hunt that is closed, which its leader and those who run hunts may let in."""
    closed = make.hunt(world.site, leader=world.leader, permission_=world.permission, state="closed")
    return {"pk": make_field.parked(world.member, closed).pk}


MOVED = who("member", 302)  # only whoever made it

ROWS = [
    Row("field:parked", who(INSIDERS, 200), otherwise=403),
    Row("field:parked_again", MOVED, kwargs=own, method="post"),
    Row("field:parked_correct", who("member", 200), kwargs=own),
    Row("field:parked_correct", who("member", 200), kwargs=own, method="post"),
    Row("field:parked_leave", who("member", 200), kwargs=own),
    Row("field:parked_leave", MOVED, kwargs=own, method="post", data=lambda world: {"why": "Twice"}),
    Row(
        "field:parked_let_in",
        who("leader secretary", 302) | who("member committee", 403),
        kwargs=late,
        method="post",
    ),
    Row("field:photo_again", MOVED, kwargs=parked_photo, method="post"),
    Row("field:photo_leave", MOVED, kwargs=parked_photo, method="post"),
    Row("field:file", who(INSIDERS, 200), otherwise=403),
    Row("field:file", who(INSIDERS, 200), method="post", otherwise=403),
    Row("field:shell", ANYBODY),
    Row("field:worker", ANYBODY),
    Row("field:manifest", ANYBODY),
    Row("field:me", IN),
    Row("field:hunts", IN),
    Row("field:pack", OF_HUNT, kwargs=hunt),
    Row("field:records", REFUSED, method="post"),
    Row("field:photo_begin", REFUSED, method="post"),
    Row("field:photo", who("member", 200) | NOBODY, kwargs=photo),
    Row("field:photo", who("member", 400) | NOBODY, kwargs=photo, method="patch"),
]
