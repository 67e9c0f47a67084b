"""A person's own machines and bench readings in the pack, and what a ground reading asks."""

from datetime import datetime
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from hunts.forms.kit import GroundReadingForm
from hunts.models import BenchTest, GroundReading, Hunt, Kit, SetUp
from people.models import User

ASKED = ("environment", "value", "scale", "notes")
MOST_BENCH = 100


def kits_of(user: User) -> list[dict[str, Any]]:
    """Machines in use, each with how it was last set up and what the ground read then."""
    set_ups = {row.kit_id: row for row in SetUp.objects.visible_to(user).order_by("set_at", "pk")}
    readings = {row.kit_id: row for row in GroundReading.objects.visible_to(user).order_by("read_at", "pk")}
    return [
        {"pk": kit.pk, "name": kit.name, "last": _last(kit, set_ups.get(kit.pk), readings.get(kit.pk))}
        for kit in Kit.objects.visible_to(user).in_use()
    ]


def _last(kit: Kit, set_up: SetUp | None, reading: GroundReading | None) -> dict[str, Any]:
    said: dict[str, Any] = {}
    if set_up is not None:
        names = ("mode", "sensitivity", "recovery_speed", "discrimination", "threshold")
        said |= {name: getattr(set_up, name) for name in names if getattr(set_up, name)}
    if reading is not None:
        said |= {"ground": f"{reading.value:f}", "in": reading.get_environment_display()}
    return said | {"scale": reading.scale if reading else kit.ground_scale}


def bench_of(user: User) -> list[dict[str, Any]]:
    """Own bench readings as short rows, the newest first."""
    rows = BenchTest.objects.visible_to(user).select_related("kit").order_by("-tested_at", "-pk")
    return [
        {
            "kit": row.kit.name,
            "mode": row.mode,
            "item": row.get_item_display(),
            "distance": row.get_distance_cm_display(),
            "way_up": row.get_orientation_display(),
            "readings": ", ".join(str(each) for each in row.readings)
            or ("heard" if row.heard else _("not heard")),
        }
        for row in rows[:MOST_BENCH]
    ]


def reading_fields(hunt: Hunt, user: User, *, at: datetime) -> list[dict[str, Any]]:
    """The fields of the form of a ground reading, so that phone and page ask the same."""
    form = GroundReadingForm(hunt=hunt, by=user, at=at)
    return [_field(name, form.fields[name], form[name].value()) for name in ASKED]


def _field(name: str, field: Any, initial: Any) -> dict[str, Any]:
    choices = [[str(value), str(label)] for value, label in getattr(field, "choices", [])]
    number = isinstance(field, forms.DecimalField | forms.IntegerField)
    said = {
        "name": name,
        "label": str(field.label),
        "type": "choice" if choices else "number" if number else "text",
        "choices": choices,
        "required": field.required,
        "initial": "" if initial is None else str(initial),
    }
    limits = {
        limit.code: float(limit.limit_value) for limit in field.validators if hasattr(limit, "limit_value")
    }
    return said | {"min": limits.get("min_value"), "max": limits.get("max_value")}
