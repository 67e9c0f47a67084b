"""The page on which the sweep of a hunt is planned: numbers in, hours and a plain sentence out."""

from typing import Any

from hunts.ground import SiteGround, area_of, grounds_of
from hunts.models import Hunt, HuntPlan
from hunts.states import HuntState
from hunts.sweep import ACRE_M2, GroundPlan, Settings, SweepError, capacity, plan_ground
from people.models import User
from people.rights import Right

REST_H = 1.0  # briefing, rest and roll call
FIXED = frozenset({HuntState.CLOSED, HuntState.CALLED_OFF})


def plan_of(hunt: Hunt) -> HuntPlan:
    """The hunt's plan, or one that is not saved: common practice for the people and hours of the day."""
    there = HuntPlan.objects.filter(hunt=hunt).select_related("changed_by").first()
    if there is not None:
        return there
    day_h = (hunt.finishes - hunt.begins).total_seconds() / 3600
    people = hunt.sign_ups.standing().count() or hunt.capacity
    return HuntPlan(hunt=hunt, people=people, hours=round(max(day_h - REST_H, 0.5), 1))


def settings_of(plan: HuntPlan) -> Settings:
    """How one person sweeps. Raises SweepError."""
    return Settings(plan.coil_m, plan.overlap, plan.swing_m_s, plan.swath_m)


def sweep_of(plan: HuntPlan, area_m2: float) -> GroundPlan:
    """Hours for this ground and people, and what the day will cover. Raises SweepError."""
    return plan_ground(
        area_m2,
        settings_of(plan),
        people=plan.people,
        hours=plan.hours,
        targets_per_ha=plan.targets_per_ha,
        minutes_per_dig=plan.minutes_per_dig,
        spacing_m=plan.spacing_m,
    )


def ground_plan_page(hunt: Hunt, plan: HuntPlan, user: User) -> dict[str, Any]:
    """What the plan comes to. The hunt's permission should be loaded."""
    grounds, faults = grounds_of(hunt)
    context: dict[str, Any] = {
        "hunt": hunt,
        "plan": plan,
        "saved": plan.pk is not None,
        "may_change": may_change_plan(hunt, user),
        "grounds": [(each.site, each.area_m2) for each in grounds],
        "faults": faults,
        "sweep": None,
    }
    try:
        return context | (_answer(hunt, plan, grounds) if grounds else {})
    except SweepError as error:
        return context | {"faults": [*faults, str(error)]}


def may_change_plan(hunt: Hunt, user: User) -> bool:
    """Planners, until the hunt is over."""
    return user.holds(Right.PLAN_HUNT) and HuntState(hunt.state) not in FIXED


def _answer(hunt: Hunt, plan: HuntPlan, grounds: list[SiteGround]) -> dict[str, Any]:
    area_m2 = area_of(grounds)
    sweep = sweep_of(plan, area_m2)
    advice = capacity(area_m2, owner_cap=hunt.permission.max_heads if hunt.permission else None)
    return {
        "area_m2": area_m2,
        "sweep": sweep,
        "share_percent": round(100 * sweep.share_swept),
        "pace_m_min": round(60 * sweep.walking_m_s, 1),
        "acres_each": round(area_m2 / ACRE_M2 / plan.people, 1),
        "advice": advice,
        "crowded": plan.people > advice.maximum,
    }
