"""Who gets what of the page of looks at locked findspots: those who read the trail; nobody answers for themselves."""

from typing import Any

from django.utils.timezone import localdate, now

from people.models import UnusualReading
from tests.views.access import Row, who
from tests.views.world import World

KEEPERS = who("secretary committee", 200)


def flagged(world: World) -> dict[str, Any]:
    """The leader looked at very many; made once, however many rows ask."""
    facts = {"since": now(), "noticed_at": now(), "places": 12, "within": "an hour"}
    row, _ = UnusualReading.objects.get_or_create(reader=world.leader, on=localdate(), defaults=facts)
    return {"pk": row.pk}


ROWS = [
    Row("finds:look_list", KEEPERS, otherwise=403),
    Row(
        "finds:look_answer",
        who("secretary committee", 302),
        kwargs=flagged,
        method="post",
        data=lambda world: {"words": "She prepared the visit to the officer."},
        otherwise=403,
    ),
    Row("finds:look_answer", KEEPERS, kwargs=flagged, method="post", otherwise=403),  # no words: asked again
]
