"""Who gets what in the hunts section. The world's hunt runs today; the member dug its hole and is out on the field."""

from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils.timezone import now

from hunts.models import Incident
from tests import make
from tests.views.access import INSIDERS, Row, who
from tests.views.world import World

IN = who(INSIDERS, 200)
MOVED = who(INSIDERS, 302)
LEADS = who("leader secretary", 200) | who("member committee", 403)
LEADS_POST = who("leader secretary", 302) | who("member committee", 403)
PLANS = who("leader secretary", 200) | who("committee", 403)


def hunt(world: World) -> dict[str, Any]:
    return {"pk": world.hunt.pk}


def other_hunt(world: World, state: str) -> dict[str, Any]:
    return {"pk": make.hunt(world.site, leader=world.leader, permission_=world.permission, state=state).pk}


def planned(world: World) -> dict[str, Any]:
    return other_hunt(world, "planned")


def is_open(world: World) -> dict[str, Any]:
    return other_hunt(world, "open")


def sign_up(world: World) -> dict[str, Any]:
    return {"pk": world.sign_up.pk}


def hole(world: World) -> dict[str, Any]:
    return {"pk": world.hole.pk}


def filled(world: World) -> dict[str, Any]:
    return {
        "pk": make.hole(world.hunt, world.member, state="filled", filled_at=now(), filled_by=world.member).pk
    }


def leaders_hole(world: World) -> dict[str, Any]:
    return {"pk": make.hole(world.hunt, world.leader).pk}


def past_outing(world: World) -> dict[str, Any]:
    return {"pk": make.past_outing(world.site, leader=world.leader).pk}


def photo(world: World) -> dict[str, Any]:
    return {"pk": make.hole_photo(world.hole).pk, "size": "thumb"}


def leaders_photo(world: World) -> dict[str, Any]:
    return {"pk": make.hole_photo(make.hole(world.hunt, world.leader)).pk, "size": "full"}


def incident_photo(world: World) -> dict[str, Any]:
    return {"pk": make.incident_photo(make.incident(world.hunt, world.member)).pk, "size": "thumb"}


def leaders_incident_photo(world: World) -> dict[str, Any]:
    return {"pk": make.incident_photo(make.incident(world.hunt, world.leader)).pk, "size": "full"}


def upload(world: World) -> dict[str, Any]:
    return {"photos": SimpleUploadedFile("filled.jpg", make.photo_bytes()), "stage": "after"}


def fallen_gate(world: World) -> dict[str, Any]:
    when = now().strftime("%Y-%m-%dT%H:%M")
    return {"kind": Incident.Kind.GATE, "happened_at": when, "words": "The gate was off its hinge."}


ROWS = [
    Row("hunts:list", IN | who("stranger", 200)),
    Row("hunts:plan", who("leader secretary", 200), otherwise=403),
    Row("hunts:past_add", who("secretary", 200), otherwise=403),
    Row(
        "hunts:past_edit",
        who("secretary", 200) | who("member leader committee", 403),
        kwargs=past_outing,
        otherwise=403,
    ),
    Row(
        "hunts:past_remove",
        who("secretary", 302) | who("member leader committee", 403),
        kwargs=past_outing,
        method="post",
    ),
    Row("hunts:drills", IN, otherwise=403),
    Row("hunts:detail", IN, kwargs=hunt),
    Row("hunts:detail", who("leader secretary committee", 200), kwargs=planned),
    Row("hunts:edit", LEADS, kwargs=hunt),
    Row("hunts:open", PLANS, kwargs=planned),
    Row("hunts:call_off", LEADS, kwargs=hunt),
    Row("hunts:start", LEADS_POST, kwargs=is_open, method="post"),
    Row("hunts:close", LEADS, kwargs=hunt),
    Row("hunts:sign_up", MOVED, kwargs=is_open, method="post"),
    Row("hunts:sign_up_person", LEADS, kwargs=is_open),
    Row("hunts:sign_up_person", LEADS, kwargs=is_open, method="post"),
    Row("hunts:withdraw", MOVED, kwargs=is_open, method="post"),
    Row("hunts:briefing", IN, kwargs=hunt),
    Row(
        "hunts:briefing",
        who("leader secretary", 200) | who("member committee", 403),
        kwargs=hunt,
        method="post",
    ),
    Row("hunts:emergency_card", IN, kwargs=hunt),
    Row("hunts:roll_call", LEADS, kwargs=hunt),
    Row(
        "hunts:sign_in_person",
        who("leader secretary", 302) | who("member", 403),
        kwargs=sign_up,
        method="post",
    ),
    Row(
        "hunts:sign_out_person",
        who("leader secretary", 302) | who("member", 403),
        kwargs=sign_up,
        method="post",
    ),
    Row("hunts:hole_list", IN, kwargs=hunt),
    Row("hunts:hole_log", IN, kwargs=hunt, otherwise=404),
    Row("hunts:hole_detail", IN, kwargs=hole),
    Row("hunts:hole_detail", who("leader secretary committee", 200), kwargs=leaders_hole),
    Row("hunts:hole_edit", IN, kwargs=hole),
    Row(
        "hunts:hole_fill",
        who("member leader secretary", 302) | who("committee", 403),
        kwargs=hole,
        method="post",
    ),
    Row("hunts:hole_check", LEADS_POST, kwargs=filled, method="post"),
    Row("hunts:hole_reopen", LEADS_POST, kwargs=filled, method="post", data=lambda w: {"why": "sunken"}),
    Row(
        "hunts:hole_photo_add",
        who("member leader secretary", 302) | who("committee", 403),
        kwargs=hole,
        method="post",
        data=upload,
    ),
    Row("hunts:hole_photo", IN, kwargs=photo),
    Row("hunts:photo_waiting", who("member", 200), kwargs=lambda w: {"pk": make.photo_draft(w.member).pk}),
    Row("hunts:hole_photo", who("leader secretary committee", 200), kwargs=leaders_photo),
    Row("hunts:incident_list", IN, otherwise=403),
    Row("hunts:incident_photo", IN, kwargs=incident_photo),
    Row("hunts:incident_photo", who("leader secretary committee", 200), kwargs=leaders_incident_photo),
    Row("hunts:incident_add", IN, kwargs=hunt),
    Row(
        "hunts:incident_add",
        who("member leader secretary", 302) | who("committee", 403),
        kwargs=hunt,
        method="post",
        data=fallen_gate,
    ),
]
