"""Who gets what of open files, the calendar, word lists and linked finds: everybody with a role."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

from django.utils.timezone import now

from doors.actions import make_token
from doors.models import Purpose
from tests.views.access import INSIDERS, Row, who
from tests.views.world import World

FILE = {"what": "finds", "form": "geojson"}


def own_calendar(world: World) -> dict[str, Any]:
    """The key of a calendar of the member's: it opens for whoever has it."""
    asked: dict[str, Any] = {"label": "my phone", "purpose": Purpose.CALENDAR, "days": 30}
    _, key = make_token(by=world.member, at=now() - timedelta(1), client_id=uuid4(), **asked)
    return {"secret": key}


EVERYBODY = who(f"anonymous link expired stranger {INSIDERS}", 200)

ROWS = [
    Row("doors:open_files", who(INSIDERS, 200)),
    Row("doors:open_files", who(INSIDERS, 200), method="post", data=lambda w: dict(FILE)),
    Row(
        "doors:open_files", who(INSIDERS, 200), method="post", data=lambda w: {"what": "holes", "form": "csv"}
    ),
    Row(
        "doors:open_files",
        who(INSIDERS, 200),
        method="post",
        data=lambda w: {"what": "tracks", "form": "kml"},
    ),
    Row("doors:file_dictionary", who(INSIDERS, 200)),
    Row("doors:calendar", who(INSIDERS, 200)),
    Row("doors:calendar", who(INSIDERS, 200), method="post", data=lambda w: {"label": "phone", "days": "30"}),
    Row("doors:calendar_feed", EVERYBODY, kwargs=own_calendar),
    Row("doors:vocabularies", who(INSIDERS, 200)),
    Row("doors:vocabulary", who(INSIDERS, 200), kwargs=lambda w: {"name": "periods-england", "form": "ttl"}),
    Row("doors:vocabulary", who(INSIDERS, 200), kwargs=lambda w: {"name": "objects", "form": "jsonld"}),
    Row("doors:find_linked", who(INSIDERS, 200), kwargs=lambda w: {"pk": w.find.pk, "form": "jsonld"}),
    Row(
        "doors:find_linked",
        who("member leader secretary committee", 200),
        kwargs=lambda w: {"pk": w.locked.pk, "form": "ttl"},
    ),
]
