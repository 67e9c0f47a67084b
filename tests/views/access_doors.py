"""Who gets what of the doors: everybody their own keys, members and up the open interface."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

from django.utils.timezone import now

from doors.actions import make_token
from doors.collections import COLLECTIONS
from doors.models import Purpose
from tests.views.access import INSIDERS, Row, who
from tests.views.world import World


def own_key(world: World) -> dict[str, Any]:
    """A key of the member's."""
    asked: dict[str, Any] = {"label": "map", "purpose": Purpose.DATA, "days": 7, "collections": COLLECTIONS}
    token, _ = make_token(by=world.member, at=now() - timedelta(1), client_id=uuid4(), **asked)
    return {"pk": token.pk}


def of(name: str) -> Callable[[World], dict[str, Any]]:
    return lambda world: {"name": name}


# Programs without a key, and browsers that are not signed in and ask for data; a page sends those to sign in.
OUTSIDE = who("anonymous link expired", 401)
OPEN = OUTSIDE | who("stranger", 403) | who(INSIDERS, 200)
EVERYBODY_IN = who(f"stranger {INSIDERS}", 200)
NEW = {"label": "map", "collections": ["finds", "sites"], "days": "30"}

ROWS = [
    Row("doors:key_list", EVERYBODY_IN),
    Row("doors:key_new", who(INSIDERS, 200), otherwise=403),
    Row("doors:key_new", who(INSIDERS, 200), method="post", data=lambda w: dict(NEW), otherwise=403),
    Row("doors:key_end", who("member", 302), kwargs=own_key, method="post"),
    *(Row(f"doors:{name}", OPEN) for name in ("landing", "conformance", "api", "collections")),
    *(Row("doors:collection", OPEN, kwargs=of(name)) for name in COLLECTIONS),
    *(Row("doors:items", OPEN, kwargs=of(name)) for name in COLLECTIONS),
    Row("doors:item", OPEN, kwargs=lambda w: {"name": "finds", "number": str(w.find.pk)}),
    Row("doors:item", OPEN, kwargs=lambda w: {"name": "sites", "number": str(w.site.pk)}),
    Row("doors:item", OPEN, kwargs=lambda w: {"name": "hunts", "number": str(w.hunt.pk)}),
    # A find that is locked is met by those who may see its record, without its place.
    Row(
        "doors:item",
        OPEN | who("member", 404),
        kwargs=lambda w: {"name": "finds", "number": str(w.others_locked.pk)},
    ),
]
