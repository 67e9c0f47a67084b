"""The pages of a person's kit, and what the hunt's page shows of it."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from django.utils.translation import gettext as _

from hunts.actions.incidents import may_record
from hunts.forms.kit import CareForm
from hunts.kit_facts import KitState, kit_states, nudge_for
from hunts.models import BenchTest, GroundReading, Hunt, Kit, SetUp
from hunts.models.bench import Item
from hunts.readings import mode_key
from hunts.states import HuntState
from people.models import User
from people.rights import Right


def kit_page(kit: Kit, user: User, *, on: date) -> dict[str, Any]:
    """One kit: battery, care lists with their forms, set-ups, ground readings by kind of ground, bench tests."""
    (state,) = kit_states(user, on=on, kits=[kit])
    tests = list(BenchTest.objects.visible_to(user).filter(kit=kit)[:200])
    set_ups = SetUp.objects.visible_to(user).filter(kit=kit).select_related("hunt")
    return {
        "kit": kit,
        "state": state,
        "care": [{"due": due, "form": CareForm(due=due, on=on)} for due in state.care],
        "set_ups": set_ups.order_by("-set_at", "-pk")[:20],
        "readings": _spans(GroundReading.objects.visible_to(user).filter(kit=kit)),
        "bench": bench_rows(tests),
    }


def _spans(readings: Iterable[GroundReading]) -> list[dict[str, Any]]:
    """Lowest and highest reading for each kind of ground, each scale by itself."""
    found: dict[tuple[str, str], list[GroundReading]] = {}
    for row in readings:
        found.setdefault((row.get_environment_display(), row.scale), []).append(row)
    return [
        {
            "environment": environment,
            "scale": scale,
            "times": len(rows),
            "low": min(row.value for row in rows),
            "high": max(row.value for row in rows),
            "last": rows[-1].read_at,
        }
        for (environment, scale), rows in sorted(found.items())
    ]


def bench_rows(tests: Iterable[BenchTest]) -> list[dict[str, Any]]:
    """The bench tests in the order of the fixed set, each with lowest, middle and highest reading."""
    order = {item: place for place, item in enumerate(Item.values)}
    rows = sorted(tests, key=lambda t: (mode_key(t.mode), order[t.item], t.distance_cm, t.orientation))
    return [
        {
            "test": test,
            "status": "open" if test.heard else "plain",
            "words": _("Heard") if test.heard else _("Not heard"),
            "summary": test.summary,
        }
        for test in rows
    ]


def care_form(
    kit: Kit, user: User, occasion: str, data: Any, *, on: date
) -> tuple[KitState, CareForm | None]:
    """The form of the checklist `occasion` where it is due, bound to `data`."""
    (state,) = kit_states(user, on=on, kits=[kit])
    due = next((each for each in state.care if each.occasion == occasion), None)
    return state, CareForm(data, due=due, on=on) if due else None


def first_pass(kit: Kit, user: User) -> dict[str, str]:
    """Where a bench test begins: the first item, in the mode in which the machine was last set up."""
    modes = SetUp.objects.visible_to(user).filter(kit=kit).order_by("-set_at", "-pk")
    return {"item": Item.values[0], "mode": modes.values_list("mode", flat=True).first() or ""}


def next_item(test: BenchTest) -> str:
    """The item after this one in the fixed set; the first again after the last."""
    order = list(Item.values)
    return str(order[(order.index(test.item) + 1) % len(order)])


def own_settings(hunt: Hunt, user: User, *, at: datetime) -> dict[str, Any] | None:
    """The reader's set-ups, readings, nudge and bench table on this hunt; None where they have no part in it."""
    under_way = hunt.state in {HuntState.RUNNING, HuntState.CLOSED}
    if not (under_way and user.holds(Right.LOG_HOLES) and may_record(hunt, user)):
        return None
    set_ups = list(SetUp.objects.visible_to(user).filter(hunt=hunt).select_related("kit"))
    last = set_ups[-1] if set_ups else None
    tests = BenchTest.objects.visible_to(user).filter(kit=last.kit) if last else ()
    same = [test for test in tests if last and mode_key(test.mode) == mode_key(last.mode)]
    return {
        "set_ups": set_ups,
        "readings": GroundReading.objects.visible_to(user).filter(hunt=hunt).select_related("kit"),
        "nudge": nudge_for(hunt, user, at=at) if hunt.state == HuntState.RUNNING else "",
        "last": last,
        "bench": bench_rows(same),
    }
