"""Plan how the ground is swept, and keep what was put into it."""

from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from hunts.actions.locks import locked_hunt
from hunts.errors import HuntError
from hunts.ground import area_of, grounds_of
from hunts.models import Attendance, BlankGround, Hunt, HuntPlan
from hunts.states import HuntState
from people import audit
from people.models import User
from people.rights import Right, require


@transaction.atomic
def set_ground_plan(hunt_id: int, *, by: User, at: datetime, **fields: Any) -> HuntPlan:
    """Keep the sweep of a hunt, one plan a hunt; sent twice it is the same plan.

    Raises HuntError once the hunt is closed or called off: the plan then says what was planned.
    """
    require(by, Right.PLAN_HUNT)
    hunt = locked_hunt(hunt_id)
    if HuntState(hunt.state) in {HuntState.CLOSED, HuntState.CALLED_OFF}:
        raise HuntError(
            _("%(hunt_code)s is %(hunt_state)s; its plan stays as it was.")
            % {"hunt_code": hunt.code, "hunt_state": _(hunt.state)}
        )
    plan = HuntPlan.objects.filter(hunt=hunt).first() or HuntPlan(hunt=hunt)
    changed = sorted(name for name, value in fields.items() if getattr(plan, name) != value)
    if plan.pk and not changed:
        return plan
    for name in changed:
        setattr(plan, name, fields[name])
    plan.changed_at, plan.changed_by = at, by
    plan.save()
    audit.record("ground_plan.set", plan, by=by, at=at, hunt=hunt.code, changed=changed)
    return plan


def keep_blank_ground(hunt: Hunt) -> BlankGround:
    """People, hours and searchable ground of a hunt that is being closed, inside that transaction."""
    people, hours = attended(hunt)
    area_m2 = area_of(grounds_of(hunt)[0])
    values = {"people": people, "hours": hours, "searchable_m2": area_m2}
    return BlankGround.objects.update_or_create(hunt=hunt, defaults=values)[0]


def attended(hunt: Hunt) -> tuple[int, float]:
    """How many people came, and their hours between sign-in and sign-out added up; nobody still out counts."""
    came = Attendance.objects.filter(sign_up__hunt=hunt).values_list("signed_in_at", "signed_out_at")
    seconds = [(out - there).total_seconds() for there, out in came if out is not None]
    return len(came), sum(seconds) / 3600
