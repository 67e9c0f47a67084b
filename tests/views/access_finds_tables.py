"""Who gets what of quick entry and of tables of finds. A file on its way in is its sender's alone."""

from uuid import uuid4

from django.utils.timezone import now

from finds import actions
from tests.views.access import INSIDERS, Row, who
from tests.views.world import World

LOGGERS = who(INSIDERS, 200)


def hunt(world: World) -> dict[str, int]:
    return {"pk": world.hunt.pk}


def draft(world: World) -> dict[str, int]:
    """A file of the member's: one row is new, one has a wrong cell, one is the world's find with another depth."""
    rows = [
        f'{world.hunt.code},"=1+1",12,',
        f"{world.hunt.code},nail,deep,",
        f"{world.hunt.code},button,12,{world.find.number}",
    ]
    data = "\r\n".join(["hunt,object,depth,number", *rows]).encode() + b"\r\n"
    sent = actions.keep_find_import(data, "bags.csv", by=world.member, at=now(), client_id=uuid4())
    return {"pk": sent.pk}


SENDER = {"member": 200, "stranger": 403}
SENDER_GOES_ON = {"member": 302, "stranger": 403}

ROWS = [
    Row("finds:quick", LOGGERS, kwargs=hunt, otherwise=403),
    Row("finds:export_csv", LOGGERS | who("stranger", 200)),
    Row("finds:import_start", LOGGERS, otherwise=403),
    Row("finds:import_columns", LOGGERS, otherwise=403),
    Row("finds:import_template_csv", LOGGERS, otherwise=403),
    Row("finds:import_look", SENDER, kwargs=draft),
    Row("finds:import_read", SENDER_GOES_ON, kwargs=draft, method="post"),
    Row("finds:import_save", SENDER_GOES_ON, kwargs=draft, method="post", data=lambda w: {"seal": "x"}),
    Row("finds:import_discard", SENDER_GOES_ON, kwargs=draft, method="post"),
]
