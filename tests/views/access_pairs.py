"""Who gets what about pairs that may be one find, and about same-find groups."""

from tests.views import pairs_world
from tests.views.access import Row, who

COMMITTEE = who("committee", 200)


def pair(world):
    return {"pk": pairs_world.pair(world).pk}


def asked(world):
    return {"pk": pairs_world.asked(world).pk}


def group(world):
    return {"pk": pairs_world.group(world).pk}


def decide(how):
    return lambda world: pair(world) | {"how": how}


WORDS = {"words": "seen in the trench"}

ROWS = [
    Row("finds:pair_list", COMMITTEE, otherwise=403),
    Row("finds:pair_detail", COMMITTEE, kwargs=pair, otherwise=403),
    Row("finds:pair_detail", COMMITTEE, kwargs=asked, otherwise=403),
    *(
        Row(
            "finds:pair_decide",
            who("committee", 302),
            kwargs=decide(how),
            method="post",
            data=lambda w: WORDS,
            otherwise=403,
        )
        for how in ("same", "apart", "ask")
    ),
    Row("finds:pair_answer", who("member leader", 200), kwargs=asked),
    Row("finds:pair_answer", who("member leader", 302), kwargs=asked, method="post", data=lambda w: WORDS),
    Row("finds:together", who("member", 200), kwargs=lambda w: {"pk": w.find.pk}),
    Row(
        "finds:together",
        who("member", 302),
        kwargs=lambda w: {"pk": w.find.pk},
        method="post",
        data=lambda w: WORDS | {"number": w.locked.number},
    ),
    Row("finds:group_detail", COMMITTEE, kwargs=group, otherwise=403),
    Row(
        "finds:group_add",
        who("committee", 302),
        kwargs=group,
        method="post",
        data=lambda w: WORDS | {"numbers": w.find.number},
        otherwise=403,
    ),
    Row("finds:group_take_out", COMMITTEE, kwargs=pairs_world.in_group, otherwise=403),
    Row(
        "finds:group_take_out",
        who("committee", 302),
        kwargs=pairs_world.in_group,
        method="post",
        data=lambda w: WORDS,
        otherwise=403,
    ),
]
