"""Makers for kit, set-ups, readings and bench tests."""

from datetime import timedelta
from itertools import count
from typing import Any

from django.utils.timezone import localdate, now

from hunts.models import (
    BenchTest,
    GroundReading,
    Guest,
    Hunt,
    Kit,
    LoneHunt,
    RiskAssessment,
    RiskLine,
    SetUp,
    SignUp,
)
from people.models import User
from permissions.models import Site

_numbers = count(1)


def kit(user: User, **fields: Any) -> Kit:
    values: dict[str, Any] = {
        "name": f"Machine {next(_numbers)}",
        "coil_length_cm": 28,
        "battery_hours": 12,
        "ground_scale": "phase 0 to 99",
        "added_at": now() - timedelta(90),
    }
    return Kit.objects.create(user=user, **(values | fields))


def set_up(hunt: Hunt, kit: Kit, **fields: Any) -> SetUp:
    began = now() - timedelta(hours=2)
    # A set-up is of its hunt's day: soon after midnight two hours ago would be yesterday.
    values: dict[str, Any] = {
        "mode": "Field 2",
        "set_at": began if localdate(began) == localdate() else now(),
    }
    return SetUp.objects.create(hunt=hunt, kit=kit, user=kit.user, **(values | fields))


def ground_reading(hunt: Hunt, kit: Kit, **fields: Any) -> GroundReading:
    values: dict[str, Any] = {
        "environment": "arable",
        "value": 61,
        "scale": "phase 0 to 99",
        "read_at": now() - timedelta(hours=1),
    }
    return GroundReading.objects.create(hunt=hunt, kit=kit, user=kit.user, **(values | fields))


def bench(kit: Kit, item: str, *readings: int, **fields: Any) -> BenchTest:
    values: dict[str, Any] = {
        "mode": "Field 2",
        "distance_cm": 8,
        "orientation": "face",
        "heard": bool(readings),
        "tested_at": now() - timedelta(30),
    }
    given = dict(zip(("first", "second", "third"), readings, strict=False))
    return BenchTest.objects.create(kit=kit, user=kit.user, item=item, **(values | given | fields))


def guest(host: SignUp, **fields: Any) -> Guest:
    values: dict[str, Any] = {
        "name": f"Guest {next(_numbers)}",
        "insurer": "Humber Mutual",
        "insured_until": localdate() + timedelta(60),
        "emergency_contact": "Home, 01632 960500",
        "added_at": now() - timedelta(days=1),
    }
    return Guest.objects.create(hunt=host.hunt, host=host, **(values | fields))


def lone(user: User, **fields: Any) -> LoneHunt:
    values: dict[str, Any] = {
        "where": "Sand Lane lay-by",
        "out_at": now() - timedelta(hours=2),
        "due_back": now() + timedelta(hours=1),
        "contact_name": "Gil Wrack",
        "contact_phone": "01632 960500",
    }
    return LoneHunt.objects.create(user=user, **(values | fields))


def risk(hunt: Hunt, site: Site, by: User, **fields: Any) -> RiskAssessment:
    """An assessment with one line: ruts, from 4 × 2 down to 2 × 2."""
    made = RiskAssessment.objects.create(
        **({"hunt": hunt, "site": site, "review_on": hunt.on, "made_at": now(), "made_by": by} | fields)
    )
    risk_line(made, code="ground", hazard="Ruts")
    return made


def risk_line(assessment: RiskAssessment, **fields: Any) -> RiskLine:
    values: dict[str, Any] = {"hazard": "Wasps", "likelihood": 4, "severity": 2, "control": "Keep away"}
    values |= {"owner": "Everybody", "residual_likelihood": 2, "residual_severity": 2}
    return RiskLine.objects.create(assessment=assessment, **(values | fields))
