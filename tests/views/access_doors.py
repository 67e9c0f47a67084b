"""Who gets what of the doors: everybody their own keys, members and up the open interface."""

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


EVERYBODY_IN = who(f"stranger {INSIDERS}", 200)
NEW = {"label": "map", "collections": ["finds", "sites"], "days": "30"}

ROWS = [
    Row("doors:key_list", EVERYBODY_IN),
    Row("doors:key_new", who(INSIDERS, 200), otherwise=403),
    Row("doors:key_new", who(INSIDERS, 200), method="post", data=lambda w: dict(NEW), otherwise=403),
    Row("doors:key_end", who("member", 302), kwargs=own_key, method="post"),
]
