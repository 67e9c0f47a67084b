"""Who gets what of an incident that a find opened: the world's locked hoard says that a shell lay in it."""

from django.core.files.uploadedfile import SimpleUploadedFile

from finds.actions import answer_facts
from finds.models import FindDrill
from tests import make
from tests.views.access import INSIDERS, Row, who

SEE = who(INSIDERS, 200)
LEAD = who("leader committee", 302) | who("member secretary", 403)


def incident(world):
    """The incident; the answer that opens it is given once, however many rows ask."""
    if not FindDrill.objects.filter(find=world.locked).exists():
        world.locked.refresh_from_db()
        answers = world.locked.facts | {"ordnance": "yes"}
        answer_facts(world.locked.pk, by=world.member, at=world.locked.recorded_at, answers=answers)
    return {"pk": FindDrill.objects.get(find=world.locked).incident_id}


def leaders_incident(world):
    return {"pk": make.incident(world.hunt, world.leader).pk}


def photographed(world):
    return {"pk": make.incident_photo(make.incident(world.hunt, world.member)).incident_id}


def picture(world):
    return {"photos": SimpleUploadedFile("shell.jpg", make.photo_bytes())}


def stopped_find(world):
    incident(world)
    return {"pk": world.locked.pk}


def stopped_case(world):
    incident(world)
    return {"pk": world.case.pk}


def stopped_hunt(world):
    incident(world)
    return {"pk": world.hunt.pk}


def words(world):
    return {"words": "The police took it away and said that the field is clear."}


ROWS = [
    Row("finds:incident", SEE, kwargs=incident),
    Row("finds:incident", SEE, kwargs=photographed),
    Row("finds:detail", SEE, kwargs=stopped_find),
    Row("finds:case_detail", who("member leader committee", 200), kwargs=stopped_case),
    Row("hunts:detail", SEE, kwargs=stopped_hunt),
    Row("hunts:hole_log", SEE, kwargs=stopped_hunt),
    Row("finds:record", SEE, kwargs=stopped_hunt, otherwise=403),
    Row("hunts:roll_call", who("leader secretary", 200) | who("member committee", 403), kwargs=stopped_hunt),
    Row("finds:incident_done", who(INSIDERS, 302), kwargs=incident, method="post"),
    Row("finds:incident_photo_add", who(INSIDERS, 302), kwargs=incident, method="post", data=picture),
    Row(
        "finds:incident_photo_add",
        who("leader secretary committee", 302),
        kwargs=leaders_incident,
        method="post",
        data=picture,
    ),
    Row("finds:incident_take_over", LEAD, kwargs=incident, method="post"),
    Row("finds:incident_lift", LEAD, kwargs=incident, method="post", data=words),
    Row("finds:incident_close", LEAD, kwargs=incident, method="post", data=words),
    Row(
        "finds:incident_free",
        who("committee", 200) | who("member leader secretary", 403),  # still open: said on the page
        kwargs=incident,
        method="post",
        data=words,
    ),
]
