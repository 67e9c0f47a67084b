"""Who gets what of the ground: plan, lanes, tracks, ground covered. The member walked; the leader leads."""

from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils.timezone import localtime, now

from tests import ground
from tests.views.access import INSIDERS, Row, who
from tests.views.access_hunts import IN, hunt
from tests.views.world import World


def numbers(world: World) -> dict[str, Any]:
    return ground.PLAN


def walked(world: World) -> dict[str, Any]:
    """The hunt with the member's track on it."""
    ground.track(world.hunt, world.member)
    return hunt(world)


def with_site(world: World) -> dict[str, Any]:
    return walked(world) | {"site": world.site.pk}


def site(world: World) -> dict[str, Any]:
    ground.track(world.hunt, world.member)
    return {"pk": world.site.pk}


def members_track(world: World) -> dict[str, Any]:
    return {"pk": ground.track(world.hunt, world.member).pk}


def upload(world: World) -> dict[str, Any]:
    data = ground.gpx_bytes(ground.serpentine(), start=localtime(now()).replace(hour=0, minute=1))
    return {"file": SimpleUploadedFile("walk.gpx", data), "swath_m": "1.5", "accuracy_m": "5"}


ROWS = [
    Row("hunts:ground_plan", IN, kwargs=hunt),
    Row(
        "hunts:ground_plan",
        who("leader secretary", 302) | who("member committee", 403),
        kwargs=hunt,
        method="post",
        data=numbers,
    ),
    Row("hunts:lanes", IN, kwargs=hunt),
    Row("hunts:lanes_sheets", IN, kwargs=hunt),
    Row("hunts:lanes_map", who("member", 200), kwargs=hunt),
    Row("hunts:lanes_gpx", who("member", 200), kwargs=hunt),
    Row("hunts:lanes_gpx", IN, kwargs=hunt, data=lambda world: {"person": "everybody"}),
    Row("hunts:track_add", who("member leader secretary", 200) | who("committee", 200), kwargs=hunt),
    Row(
        "hunts:track_add",
        who("member leader", 302) | who("secretary committee", 200),
        kwargs=hunt,
        method="post",
        data=upload,
    ),
    Row(
        "hunts:track_remove",
        who("member leader secretary", 302) | who("committee", 403),
        kwargs=members_track,
        method="post",
    ),
    Row("hunts:coverage", who(INSIDERS, 200), kwargs=walked),
    Row("hunts:coverage_picture", who(INSIDERS, 200), kwargs=with_site),
    Row("hunts:site_coverage", who(INSIDERS, 200), kwargs=site),
    Row("hunts:site_coverage_picture", who("leader secretary committee", 200), kwargs=site),
]
