"""Who gets what in the finds and heritage sections. The world's find is not locked; its silver coin hoard is."""

from tests.views.access import INSIDERS, Row, who

IN = who(INSIDERS, 200)


def find(world):
    return {"pk": world.find.pk}


def locked(world):
    return {"pk": world.locked.pk}


def hunt(world):
    return {"pk": world.hunt.pk}


CLOSE = who("member leader secretary committee", 200)

ROWS = [
    Row("finds:list", IN | who("stranger", 200)),
    Row("finds:map", IN | who("stranger", 200)),
    Row("finds:map_data", IN | who("stranger", 200), method="post"),
    Row("finds:map_picture", IN),
    Row("finds:patterns", who("secretary committee", 200), otherwise=403),
    Row("finds:numbers", who("secretary committee", 200), otherwise=403),
    Row("finds:record", who("member leader secretary committee", 200), kwargs=hunt, otherwise=403),
    Row("finds:labels", IN, kwargs=hunt),
    Row("finds:detail", IN, kwargs=find),
    Row("finds:detail", who("leader secretary committee", 200) | who("member", 200), kwargs=locked),
    Row("finds:detail", who("leader secretary committee", 200), kwargs=lambda w: {"pk": w.others_locked.pk}),
    Row("finds:edit", CLOSE, kwargs=find),
    Row("finds:facts", CLOSE, kwargs=find),
    Row("finds:withdraw", who("member secretary", 200) | who("leader committee", 403), kwargs=find),
    Row("finds:photo_add", who(INSIDERS, 302), kwargs=find, method="post"),
    Row("finds:photo_shows", CLOSE, kwargs=lambda w: {"pk": w.photo.pk}),
    Row("finds:link_add", who(INSIDERS, 302), kwargs=find, method="post"),
    Row(
        "finds:link_remove", who(INSIDERS, 302), kwargs=lambda w: {"pk": w.find.pk, "link": 1}, method="post"
    ),
    Row("finds:photo", IN, kwargs=lambda w: {"pk": w.photo.pk, "size": "thumb"}),
    Row(
        "finds:photo",
        who("leader secretary committee", 200),
        kwargs=lambda w: {"pk": w.locked_photo.pk, "size": "full"},
    ),
    Row(
        "finds:screening_detail",
        IN,
        kwargs=lambda w: {"pk": w.screening.pk},
    ),
    Row(
        "finds:screening_detail",
        who("leader secretary committee", 200),
        kwargs=lambda w: {"pk": w.others_locked.screenings.all()[0].pk},
    ),
    Row("finds:screening_list", IN, kwargs=find),
    Row("finds:screening_list", who("member leader secretary committee", 200), kwargs=locked),
    Row("finds:pack_list", IN | who("stranger", 200)),
    Row("finds:pack_detail", IN | who("stranger", 200), kwargs=lambda w: {"code": "england"}),
    Row("finds:pack_detail", IN | who("stranger", 200), kwargs=lambda w: {"code": "us-washington"}),
    Row("finds:pack_change", who("committee", 200), otherwise=403),
    Row("finds:pack_change", who("committee", 302), method="post", otherwise=403),
    Row("finds:pack_run", who("committee", 200), kwargs=lambda w: {"pk": w.rescreening.pk}, otherwise=403),
    Row("finds:group_make", who("committee", 200), otherwise=403),
]
