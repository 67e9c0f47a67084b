"""Who gets what of custody: all inside see where things are, keepers move them, the other side has an address."""

from tests.views import custody_world as custody
from tests.views.access import INSIDERS, Row, who

IN = who(INSIDERS, 200)
SENT = who(INSIDERS, 302)
KEEPERS = who("secretary committee", 200) | who("stranger member leader", 403)
KEPT = who("secretary committee", 302) | who("stranger member leader", 403)
ANYBODY = f"link expired anonymous stranger {INSIDERS}"


def waiting(world):
    return {"pk": custody.waiting(world).pk}


def item(world):
    return {"pk": custody.item(world).pk}


def find(world):
    custody.held(world)
    return {"pk": world.find.pk}


def box(world):
    return {"pk": custody.box(world).pk}


def code(world):
    return {"code": custody.code(world)}


def signing(world):
    read = custody.read(custody.waiting(world), "receiver")
    return {"name": "Ida Drift", "agree": "on", "read_sha256": read}


READING = {"on": "2026-01-02", "humidity_percent": "9"}

ROWS = [
    Row("finds:custody_list", IN | who("stranger", 200)),
    Row("finds:hand_over_new", IN, otherwise=403),
    # The finder and the hunt's leader read it; the matrix's hand-over was proposed by the secretary.
    Row("finds:hand_over", IN, kwargs=waiting),
    Row(
        "finds:hand_over_sign",
        who("secretary committee", 302) | who("member leader", 403),
        kwargs=lambda w: waiting(w) | {"side": "receiver"},
        method="post",
        data=signing,
    ),
    Row(
        "finds:hand_over_end",
        who("secretary committee", 302) | who("member leader", 403),
        kwargs=lambda w: waiting(w) | {"how": "cancel"},
        method="post",
        data=lambda w: {"why": "wrong day"},
    ),
    Row(
        "finds:hand_over_done",
        who("secretary committee", 302) | who("member leader", 403),
        kwargs=waiting,
        method="post",
        data=lambda w: {"evidence": "receipt of 3 May"},
    ),
    Row(
        "finds:hand_over_address",
        who("secretary committee", 302) | who("member leader", 403),
        kwargs=waiting,
        method="post",
        data=lambda w: {"side": "receiver", "days": "30"},
    ),
    Row(
        "finds:address_end",
        who("secretary committee", 302) | who("member leader", 403),
        kwargs=lambda w: {"pk": custody.address(w).pk},
        method="post",
    ),
    Row("finds:condition_add", SENT, kwargs=item, method="post"),
    Row("finds:condition_photo", IN, kwargs=lambda w: {"pk": custody.photo(w).pk}),
    Row(
        "finds:missing_answer",
        who("secretary committee", 302) | who("member leader", 403),
        kwargs=item,
        method="post",
    ),
    Row("finds:custody_add", IN, kwargs=find, method="post"),
    Row("finds:loss", who("member secretary committee", 200) | who("leader", 403), kwargs=find),
    Row("finds:box_list", KEEPERS),
    Row("finds:box_new", KEEPERS),
    Row("finds:box", KEEPERS, kwargs=box),
    Row("finds:box_edit", KEEPERS, kwargs=box),
    Row("finds:box_read", KEPT, kwargs=box, method="post", data=lambda w: READING),
    Row(
        "finds:box_in", KEPT, kwargs=box, method="post", data=lambda w: find(w) and {"numbers": w.find.number}
    ),
    Row(
        "finds:box_out",
        who("secretary committee", 302) | who("leader member", 403),
        kwargs=find,
        method="post",
    ),
    Row(
        "reports:returning",
        who("secretary", 200),
        kwargs=lambda w: {"pk": w.landholder.pk},
        otherwise=403,
    ),
    Row("reports:receipt", IN, kwargs=waiting),
    # Whoever holds the address may read and sign: that is what it is for.
    Row("finds:receive", who(ANYBODY, 200), kwargs=code),
    Row("finds:receive_sign", who(ANYBODY, 302), kwargs=code, method="post", data=signing),
    Row("finds:receive_refuse", who(ANYBODY, 302), kwargs=code, method="post", data=lambda w: {"why": "no"}),
    Row("reports:receipt_by_key", who(ANYBODY, 200), kwargs=code),
]
