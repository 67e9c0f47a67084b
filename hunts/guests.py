"""Guests and juniors as the gate judges them and as pages show them."""

from datetime import datetime
from typing import Any

from django.utils.timezone import localdate

from hunts.gate import about_people
from hunts.models import Guest, Hunt
from hunts.states import HuntState
from people.models import User
from people.rights import Right
from permissions.gate import Answer, Cover, PersonFacts, ReasonCode


def facts_of(guest: Guest) -> PersonFacts:
    """The guest as the gate judges people; the card's first day was not asked for."""
    return PersonFacts(
        key=f"guest:{guest.client_id}",
        name=guest.name,
        insurance=(Cover(None, guest.insured_until),),
        is_guest=True,
        is_junior=guest.is_junior,
        age=guest.age,
    )


def guest_bars(hunt: Hunt, guest: Guest) -> list[str]:
    """Why terms or card shut the gate for this guest; a minimum age that is not answered counts too."""
    facts = facts_of(guest)
    found = {
        reason.words
        for reason in about_people(hunt, people=[guest.host.user], guests=[facts])
        if reason.record == facts.key
        and (reason.effect is Answer.SHUT or reason.code is ReasonCode.AGE_UNKNOWN)
    }
    return sorted(found)


def guests_shown(hunt: Hunt, user: User, mine: Any, *, at: datetime) -> dict[str, Any]:
    """The guests on the hunt that the reader may see, and whether they may bring one. The permission is loaded."""
    terms = hunt.permission
    open_now = hunt.state == HuntState.OPEN or (
        hunt.state == HuntState.RUNNING and user.holds(Right.RUN_HUNT)
    )
    allowed = terms is not None and (terms.guests_allowed or terms.juniors_allowed)
    standing = mine.state == "in" or user.holds(Right.RUN_HUNT)
    rows = Guest.objects.visible_to(user).filter(hunt=hunt).standing()
    return {
        "guests": rows.select_related("host__user", "responsible__user"),
        "may_bring": allowed and open_now and standing and localdate(at) <= hunt.on,
        "may_drop": hunt.state in {HuntState.OPEN, HuntState.RUNNING},
    }


def guest_rows(hunt: Hunt, user: User, *, private: bool, at: datetime) -> list[dict[str, Any]]:
    """Guests for the roll call: in, out, late; the emergency contact only where `private`."""
    rows = Guest.objects.visible_to(user).filter(hunt=hunt).standing()
    return [
        {
            "guest": guest,
            "late": guest.signed_in_at is not None and (guest.signed_out_at or at) > hunt.finishes,
            "contact": guest.emergency_contact if private and guest.signed_in_at else "",
        }
        for guest in rows.select_related("host__user", "responsible__user")
    ]
