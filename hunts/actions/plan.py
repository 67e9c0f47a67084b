"""Plan a hunt, change it, and open it for sign-up when the gate allows."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from hunts.actions.guest_places import places_taken
from hunts.actions.locks import locked_hunt
from hunts.actions.sign_up import give_leader_a_place, promote_waiting
from hunts.codes import next_code
from hunts.errors import GateAskError, GateShutError, HuntError, PlacesError
from hunts.gate import GateSaid, ask_gate, gate_now
from hunts.models import Hunt, HuntSite
from hunts.states import HUNT_MOVES, HuntState
from people import audit
from people.languages import speaking
from people.models import User
from people.rights import Right, require
from permissions.gate import Answer
from permissions.models import Permission, Site
from web.once import made_before
from web.states import check_move


@transaction.atomic
def plan_hunt(
    permission: Permission, sites: Sequence[Site], *, by: User, at: datetime, client_id: UUID, **fields: Any
) -> Hunt:
    """Plan a hunt on `sites` of `permission`; it keeps their boundaries and what the gate says.

    A planned hunt is for planners only: whatever the gate says, planning is allowed, opening may not be.
    The same `client_id` again returns the hunt that is there. Raises HuntError for a site of another
    permission or without a boundary.
    """
    require(by, Right.PLAN_HUNT)
    code = next_code(fields["on"])  # under a lock: the same form sent twice at once waits here
    there = made_before(Hunt.objects.all(), client_id)
    if there is not None:
        return there
    _check_sites(permission, sites)
    hunt = Hunt(client_id=client_id, code=code, permission=permission, **fields)
    keep_gate(hunt, ask_gate(permission, sites, hunt, at=at), at=at)
    hunt.save(force_insert=True)
    for site in sites:
        HuntSite.objects.create(hunt=hunt, site=site, boundary=site.boundaries.all()[0])
    audit.record("hunt.plan", hunt, by=by, at=at, on=hunt.on.isoformat(), sites=[site.code for site in sites])
    return hunt


def _check_sites(permission: Permission, sites: Sequence[Site]) -> None:
    if not sites:
        raise HuntError(_("No site is chosen; choose at least one."))
    own = set(permission.sites.values_list("pk", flat=True))
    for site in sites:
        if site.pk not in own:
            raise HuntError(
                _("%(site)s is not part of %(permission)s; choose sites of that permission.")
                % {"site": site, "permission": permission}
            )
        if not site.boundaries.exists():
            raise HuntError(
                _("%(site)s has no boundary yet; draw it first, so that holes can be placed.")
                % {"site": site}
            )


def keep_gate(hunt: Hunt, said: GateSaid, *, at: datetime, asked: dict[str, Any] | None = None) -> None:
    """Put what the gate said, and what was asked about it, on the hunt; the caller saves.

    `said` is in the actor's language. What is kept is read by everybody, so it is asked for in the club's.
    """
    earlier, spoken = hunt.gate_answer.get("asked"), get_language()
    with speaking(""):
        said = said if get_language() == spoken else gate_now(hunt, at=at)
    hunt.gate_answer = {
        "at": at.isoformat(),
        "answer": said.answer.value,
        "key": said.key,
        "sites": said.as_json(),
        "asked": asked or earlier,
    }


CHANGEABLE: dict[HuntState, frozenset[str]] = {
    HuntState.PLANNED: frozenset(
        ["title", "on", "starts_at", "ends_at", "leader", "capacity", "meeting_point", "briefing", "told_at"]
    ),
    HuntState.OPEN: frozenset(
        ["title", "starts_at", "ends_at", "leader", "capacity", "meeting_point", "briefing", "told_at"]
    ),
    HuntState.RUNNING: frozenset({"ends_at", "leader", "meeting_point", "briefing", "leader_report"}),
    HuntState.CLOSED: frozenset({"leader_report", "noticed", "damage"}),
    HuntState.CALLED_OFF: frozenset(),
}
"""What may still be changed in each state: people signed up for that date and those fields."""


GATED = frozenset({"on", "starts_at", "ends_at", "capacity", "told_at"})
"""What the gate judges; the rest may change without asking it."""


@transaction.atomic
def change_hunt(hunt_id: int, *, by: User, at: datetime, **fields: Any) -> Hunt:
    """Change what its state allows; ask the gate anew where date, times or places change.

    Raises PlacesError when more people hold a place than would be left, HuntError for a field that is fixed,
    GateShutError where an open hunt would no longer be allowed.
    """
    require(by, Right.PLAN_HUNT)
    hunt = locked_hunt(hunt_id)
    if hunt.is_past_outing:
        raise HuntError(
            _("%(hunt_code)s is a past outing; correct it on its own page.") % {"hunt_code": hunt.code}
        )
    changed = sorted(name for name, value in fields.items() if getattr(hunt, name) != value)
    fixed = [name for name in changed if name not in CHANGEABLE[HuntState(hunt.state)]]
    if fixed:
        label = hunt._meta.get_field(fixed[0])
        raise HuntError(
            _("%(hunt_code)s is %(hunt_state)s; “%(getattr)s” is fixed now.")
            % {
                "hunt_code": hunt.code,
                "hunt_state": _(hunt.state),
                "getattr": getattr(label, "verbose_name", fixed[0]),
            }
        )
    for name in changed:
        setattr(hunt, name, fields[name])
    _check_places(hunt)
    _settle(hunt, changed, by=by, at=at)
    hunt.save(update_fields=[*changed, "gate_answer"])
    audit.record("hunt.change", hunt, by=by, at=at, changed=changed)
    return hunt


def _check_places(hunt: Hunt) -> None:
    held = places_taken(hunt)
    if hunt.capacity < held:
        raise PlacesError(
            _(
                "%(hunt_capacity)s places are too few: %(held)s people hold one. Give at least %(held)s, "
                "or ask somebody to withdraw first."
            )
            % {"hunt_capacity": hunt.capacity, "held": held}
        )


def _settle(hunt: Hunt, changed: list[str], *, by: User, at: datetime) -> None:
    """What follows from a change: the gate's new answer, the new leader's place, people moving up.

    A change that the gate does not care about leaves the kept answer alone, so that the page goes on saying
    what has changed since. Raises GateShutError where the new times or places would shut the gate.
    """
    state = HuntState(hunt.state)
    if GATED & set(changed):
        said = gate_now(hunt, at=at)
        if state is not HuntState.PLANNED and said.answer is Answer.SHUT:
            raise GateShutError(said.bars)
        keep_gate(hunt, said, at=at)
    if state in {HuntState.OPEN, HuntState.RUNNING}:
        if "leader" in changed:
            give_leader_a_place(hunt, by=by, at=at)
        if "capacity" in changed:
            promote_waiting(hunt, by=by, at=at)


@transaction.atomic
def open_hunt(hunt_id: int, *, by: User, at: datetime, asked: bool = False, words: str = "") -> Hunt:
    """Open sign-up. The gate is asked again: shut refuses; ask needs `asked` and the answer in `words`.

    The leader takes the first place. Raises GateShutError, GateAskError, IllegalMoveError, and
    NotEligibleError when the leader may not come on the day.
    """
    require(by, Right.PLAN_HUNT)
    hunt = locked_hunt(hunt_id)
    check_move(HUNT_MOVES, HuntState(hunt.state), HuntState.OPEN)
    said = gate_now(hunt, at=at)
    if said.answer is Answer.SHUT:
        raise GateShutError(said.bars)
    if said.answer is Answer.ASK and not (asked and words.strip()):
        raise GateAskError
    answered = (
        {"words": words.strip(), "by": by.name, "at": at.isoformat(), "key": said.key} if asked else None
    )
    keep_gate(hunt, said, at=at, asked=answered)
    give_leader_a_place(hunt, by=by, at=at)
    hunt.state = HuntState.OPEN
    hunt.save(update_fields=["state", "gate_answer"])
    audit.record("hunt.open", hunt, by=by, at=at, gate=said.answer.value, asked=bool(answered))
    return hunt
