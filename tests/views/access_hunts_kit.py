"""Who gets what of kit, guests, lone hunts, risks and the steward's walk."""

from typing import Any

from django.utils.timezone import now

from tests import make_kit
from tests.views.access import INSIDERS, Row, who
from tests.views.world import World

IN = who(INSIDERS, 200)
ON_HUNT = who("member leader secretary", 200) | who("committee", 403)


def hunt(world: World) -> dict[str, Any]:
    return {"pk": world.hunt.pk}


def kit(world: World) -> dict[str, Any]:
    return {"pk": make_kit.kit(world.member).pk}


def salty(world: World) -> dict[str, Any]:
    own = make_kit.kit(world.member)
    make_kit.ground_reading(world.hunt, own, environment="water")
    return {"pk": own.pk, "occasion": "salt"}


def set_up(world: World) -> dict[str, Any]:
    return {"pk": make_kit.set_up(world.hunt, make_kit.kit(world.member)).pk}


def with_kits(world: World) -> dict[str, Any]:
    for person in (world.member, world.leader, world.secretary, world.committee):
        make_kit.kit(person)
    return hunt(world)


KIT = [
    Row("hunts:kit_list", IN, otherwise=403),
    Row("hunts:kit_add", IN, otherwise=403),
    Row("hunts:kit_detail", who("member", 200), kwargs=kit),
    Row("hunts:kit_edit", who("member", 200), kwargs=kit),
    Row("hunts:kit_retire", who("member", 302), kwargs=kit, method="post"),
    Row("hunts:kit_care", who("member", 302), kwargs=salty, method="post"),
    Row("hunts:kit_bench", who("member", 200), kwargs=kit),
    Row("hunts:kit_readings", who("member", 200), kwargs=kit),
    Row("hunts:set_up_log", ON_HUNT, kwargs=with_kits),
    Row("hunts:set_up_edit", who("member", 200), kwargs=set_up),
    Row("hunts:ground_log", ON_HUNT, kwargs=with_kits),
]


def guest(world: World) -> dict[str, Any]:
    """The member's guest on the running hunt."""
    return {"pk": make_kit.guest(world.sign_up).pk}


def guest_here(world: World) -> dict[str, Any]:
    return {"pk": make_kit.guest(world.sign_up, signed_in_at=now(), signed_in_by=world.leader).pk}


GUESTS = [
    Row("hunts:guest_add", IN, kwargs=hunt),
    Row("hunts:guest_drop", who("member leader secretary", 302), kwargs=guest, method="post"),
    Row("hunts:guest_in", who("leader secretary", 302) | who("member", 403), kwargs=guest, method="post"),
    Row(
        "hunts:guest_out", who("leader secretary", 302) | who("member", 403), kwargs=guest_here, method="post"
    ),
]


def lone(world: World) -> dict[str, Any]:
    return {"pk": make_kit.lone(world.member).pk}


def lone_over(world: World) -> dict[str, Any]:
    return {"pk": make_kit.lone(world.member, back_at=now(), back_by=world.member).pk}


LONE = [
    Row("hunts:lone_list", IN, otherwise=403),
    Row("hunts:lone_add", IN, otherwise=403),
    Row("hunts:lone_detail", who("member leader secretary", 200), kwargs=lone),
    Row("hunts:lone_detail", who("member", 200), kwargs=lone_over),
    Row("hunts:lone_change", who("member leader secretary", 302), kwargs=lone, method="post"),
    Row("hunts:lone_back", who("member leader secretary", 302), kwargs=lone, method="post"),
]


def _assessment(world: World) -> Any:
    """One for each hunt and site, however often it is asked for."""
    there = world.hunt.risk_assessments.filter(site=world.site).first()
    return there or make_kit.risk(world.hunt, world.site, world.leader)


def risk(world: World) -> dict[str, Any]:
    return {"pk": _assessment(world).pk}


def risk_line(world: World) -> dict[str, Any]:
    return {"pk": _assessment(world).lines.all()[0].pk}


def hunt_site(world: World) -> dict[str, Any]:
    return {"pk": world.hunt.pk, "site": world.site.pk}


PLANS = who("leader secretary", 200) | who("member committee", 403)
PLANS_POST = who("leader secretary", 302) | who("member committee", 403)
RISKS = [
    Row("hunts:risks", IN, kwargs=hunt),
    Row("hunts:risk_start", PLANS, kwargs=hunt_site),
    Row("hunts:risk_add", PLANS, kwargs=risk),
    Row("hunts:risk_edit", PLANS, kwargs=risk_line),
    Row("hunts:risk_remove", PLANS_POST, kwargs=risk_line, method="post"),
    Row("hunts:risk_agree", PLANS_POST, kwargs=risk, method="post"),
]


def hole(world: World) -> dict[str, Any]:
    return {"pk": world.hole.pk}


STEWARD = [
    Row("hunts:walk", PLANS, kwargs=hunt),
    Row("hunts:walk_mark", PLANS_POST, kwargs=hole, method="post"),
    Row("hunts:recheck_list", who("leader secretary", 200), otherwise=403),
    Row("hunts:recheck", PLANS, kwargs=hole),
    Row("hunts:scrap", PLANS, kwargs=hunt),
]
ROWS = [*KIT, *GUESTS, *LONE, *RISKS, *STEWARD]
