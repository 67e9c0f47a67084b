"""Who gets what of a club that begins: in this world it has begun, so its beginning opens nothing."""

from django.utils.timezone import now

from people.set_up import new_key
from tests.views.access import INSIDERS, Row, who

SECRETARY = who("secretary", 200)
SENT = who("secretary", 302)
ONWARD = who(f"anonymous link expired stranger {INSIDERS}", 302)
TOO_LATE = who("anonymous link expired", 410) | who(f"stranger {INSIDERS}", 302)


def code(world):
    return {"code": new_key(at=now())}


def step(world):
    return {"step": "backup"}


ROWS = [
    Row("set_up_door", ONWARD),
    Row("set_up_begin", TOO_LATE, kwargs=code),
    Row("set_up_begin", TOO_LATE, kwargs=code, method="post"),
    Row("set_up_club", SECRETARY, otherwise=403),
    Row("set_up_contacts", SECRETARY, otherwise=403),
    Row("set_up_contacts", SECRETARY, method="post", otherwise=403),  # nothing was sent: asked again
    Row("set_up_people", SECRETARY, otherwise=403),
    Row("test_letter", SENT, method="post", otherwise=403),
    Row("reports:set_up", SECRETARY, otherwise=403),
    Row("reports:not_needed", SECRETARY, kwargs=step, otherwise=403),
    Row(
        "reports:not_needed",
        SENT,
        kwargs=step,
        method="post",
        data=lambda w: {"why": "a demo"},
        otherwise=403,
    ),
    Row("reports:needed", SENT, kwargs=step, method="post", otherwise=403),
]
