"""The pack of a hunt: all that a phone needs for the day without a network, and nothing of anybody else's."""

from datetime import datetime, timedelta
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _

from field.account import account_of
from field.day import line_of
from field.grids import grid_fits
from field.ground import ground_of
from field.pack_kit import bench_of, kits_of, reading_fields
from finds.models import FindPhoto
from finds.models.choices import Material
from hunts.drills import shown
from hunts.forms.hole import DEEPEST_CM, STOPS
from hunts.gate import gate_now
from hunts.models import Attendance, Hole, HolePhoto, Hunt, Incident, SignUp
from hunts.models.hole import Ground, Outcome
from people.models import Contact, User
from people.rights import Right
from permissions.gate import Answer
from tongue import noop

KEPT_AFTER = timedelta(hours=6)
"""From the finish: late fillings and the way home; then the land, the lanes and the phones go from the phone."""
CAUTIONS = (
    noop("Stay inside the boundary and out of every no-go area; leave gates as you found them."),
    noop("Livestock first: keep away from cows with calves, bulls and ewes with lambs."),
    noop(
        "Stop at warning tape, tile, pipe or cable; at bone, ordnance, or several objects lying "
        "together. Tell the leader."
    ),
    noop("On the shore know the tide before you walk out. Nobody works alone out of sight."),
    noop("Gloves on; wash your hands before you eat. Lead and its dust are poisonous."),
    noop(
        "The phone’s position may be wrong by more than it says. What was agreed and local law decide, not this page."
    ),
)
SHUT = noop(
    "The gate is shut now. Do not go to the field unless the leader tells you that it is agreed again."
)


def pack_of(hunt: Hunt, user: User, *, at: datetime) -> dict[str, Any]:
    """The pack as JSON. `hunt.leader` and `hunt.permission` should be loaded, its sites prefetched."""
    return {
        "v": 1,
        "at": at.isoformat(),
        "keep_until": (hunt.finishes + KEPT_AFTER).isoformat(),
        "account": account_of(user),
        "name": user.name,
        "hunt": _hunt(hunt),
        "gate": _gate(hunt, user, at=at),
        **ground_of(hunt, user),
        "grids": [fit for site in hunt.sites.all() for fit in grid_fits(site)],
        "kits": kits_of(user),
        "bench": bench_of(user),
        "reading_fields": reading_fields(hunt, user, at=at),
        "choices": _choices(),
        "drills": _drills(hunt),
        "cautions": [_(words) for words in CAUTIONS],
        "holes": _holes(hunt, user),
        **_standing(hunt, user),
    }


def _hunt(hunt: Hunt) -> dict[str, Any]:
    limit = hunt.permission.depth_limit_cm if hunt.permission else None
    return line_of(hunt) | {
        "meeting": hunt.meeting_point,
        "briefing": hunt.briefing,
        "leader": {"name": hunt.leader.name, "phone": hunt.leader.phone},
        "depth_limit_cm": limit,
        "deepest_cm": DEEPEST_CM,
        "url": reverse("hunts:detail", args=[hunt.pk]),
    }


def _gate(hunt: Hunt, user: User, *, at: datetime) -> dict[str, Any]:
    """As on the hunt's page: why it is shut is between the club and the landholder."""
    said = gate_now(hunt, at=at)
    words = said.bars if user.holds(Right.PLAN_HUNT) else [_(SHUT)] if said.answer is Answer.SHUT else []
    return {"answer": said.answer.value, "words": words, "at": at.isoformat()}


def _choices() -> dict[str, list[list[str]]]:
    return {
        "outcomes": _pairs(Outcome.choices),
        "grounds": _pairs(Ground.choices),
        "stops": _pairs(STOPS[1:]),
        "incident_kinds": _pairs(Incident.Kind.choices),
        "materials": _pairs(Material.choices),
        "hole_photos": _pairs(HolePhoto.Stage.choices),
        "find_photos": _pairs(FindPhoto.View.choices),
    }


def _pairs(choices: Any) -> list[list[str]]:
    return [[str(value), str(label)] for value, label in choices]


def _drills(hunt: Hunt) -> list[dict[str, Any]]:
    """Under the law of each of the hunt's sites; named by the law where there are several."""
    laws = list(dict.fromkeys(site.jurisdiction for site in hunt.sites.all()))
    contacts = list(Contact.objects.filter(jurisdiction__in=laws))
    rows = [row for law in laws for row in shown(contacts, law)]
    return [
        {
            "kind": row.drill.key,
            "title": f"{row.drill.title} ({row.place})" if len(laws) > 1 else row.drill.title,
            "at_once": row.drill.at_once,
            "steps": list(row.drill.steps),
            "emergency": row.emergency,
            "dial": row.dial,
            "calls": [{"name": each.name, "phone": each.phone} for each in row.contacts if each.phone],
        }
        for row in rows
    ]


def _holes(hunt: Hunt, user: User) -> list[dict[str, Any]]:
    """The reader's own, without their places."""
    rows = Hole.objects.visible_to(user).filter(hunt=hunt, digger=user).order_by("number")
    return [
        {
            "client_id": str(row.client_id),
            "pk": row.pk,
            "number": row.number,
            "at": row.dug_at.isoformat(),
            "outcome": row.outcome,
            "state": row.state,
            "depth_cm": row.depth_cm,
        }
        for row in rows
    ]


def _standing(hunt: Hunt, user: User) -> dict[str, Any]:
    mine = SignUp.objects.visible_to(user).filter(hunt=hunt, user=user).first()
    came = Attendance.objects.filter(sign_up=mine).first() if mine else None
    return {"sign_up": mine.state if mine else "", "signed_in": came is not None and came.is_out}
