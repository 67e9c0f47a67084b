"""Who gets what of the import of tables: the secretary, and of a file on its way in nobody but its sender."""

from typing import Any
from uuid import uuid4

from django.utils.timezone import now

from people import actions
from people.models import TableImport
from tests.views.access import Row, who
from tests.views.world import World

HERS = who("secretary", 200)
GOES_ON = who("secretary", 302)
TABLE = b"Name,E-mail,Phone\r\nNed Spit,ned.spit@ravensand.example,=1+1\r\nIsa Ebb,no address,\r\n"


def draft(world: World) -> dict[str, Any]:
    """A list of the secretary's, its columns matched: one row is new, one has a wrong cell."""
    sent = actions.keep_table(
        TABLE, "members.csv", by=world.secretary, at=now(), kind="members", client_id=uuid4()
    )
    answers = {"starts": "2026-01-01", "ends": "2026-12-31"}
    columns = {0: "name", 1: "email", 2: "phone"}
    about: dict[str, Any] = {"digest": "d", "columns": columns, "answers": answers}
    actions.match_columns(sent.client_id, by=world.secretary, at=now(), **about)
    return {"ref": sent.client_id}


def done(world: World) -> dict[str, Any]:
    """An import of finds, with one that is under a possible duty: its place must not be read off the page."""
    made = {"finds": [world.find.pk, world.locked.pk], "outings": [world.hunt.pk]}
    row = TableImport.objects.create(
        kind="finds", made_by=world.secretary, made_at=now(), filename="old.csv", rows=2, made=made
    )
    return {"pk": row.pk}


ROWS = [
    Row("keeping:imports", HERS, otherwise=403),
    Row("keeping:import_sample", HERS, kwargs=lambda w: {"kind": "sites", "ending": "csv"}, otherwise=403),
    Row("keeping:import_rows", HERS, kwargs=draft, otherwise=403),
    Row("keeping:import_columns", HERS, kwargs=draft, otherwise=403),
    Row("keeping:import_columns", HERS, kwargs=draft, method="post", otherwise=403),
    Row("keeping:import_look", HERS, kwargs=draft, otherwise=403),
    Row("keeping:import_problems", HERS, kwargs=draft, otherwise=403),
    Row(
        "keeping:import_save",
        GOES_ON,
        kwargs=draft,
        method="post",
        data=lambda w: {"seal": "x"},
        otherwise=403,
    ),
    Row("keeping:import_discard", GOES_ON, kwargs=draft, method="post", otherwise=403),
    Row("keeping:import_done", HERS, kwargs=done, otherwise=403),
    Row("keeping:import_back", GOES_ON, kwargs=done, method="post", otherwise=403),
]
