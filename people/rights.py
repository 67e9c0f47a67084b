"""Who may do what: one table, read by every action. Rows visible is a separate check (`visible_to`)."""

from collections.abc import Iterable
from enum import StrEnum
from typing import Protocol

from django.core.exceptions import PermissionDenied
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from tongue import noop


class Role(StrEnum):
    MEMBER = "member"
    LEADER = "leader"
    SECRETARY = "secretary"
    COMMITTEE = "committee"


ROLE_NAMES = {
    Role.MEMBER: _lazy("Member"),
    Role.LEADER: _lazy("Leader"),
    Role.SECRETARY: _lazy("Secretary"),
    Role.COMMITTEE: _lazy("Committee"),
}


class Right(StrEnum):
    """A thing an account may do. The word permission always means land here."""

    SEE_ALL_LAND = noop("see all land")
    MANAGE_LAND = noop("manage sites, no-go areas and field states")
    SEE_LANDHOLDERS = noop("see landholders and their contact details")
    MANAGE_PERMISSIONS = noop("manage permissions, consents and links")
    SEE_ALL_HUNTS = noop("see hunts before they open")
    PLAN_HUNT = noop("plan, open and call off hunts")
    RUN_HUNT = noop("run the roll call and close hunts")
    SIGN_UP = noop("sign up for hunts")
    LOG_HOLES = noop("log holes and finds")
    SEE_ALL_HOLES = noop("see every hole")
    CHECK_HOLES = noop("check filled holes")
    SEE_ALL_FINDS = noop("see every find record")
    SEE_FINDSPOTS = noop("see the full findspot of finds that are not locked")
    SEE_LOCKED_FINDSPOTS = noop("see locked findspots")
    VOID_FINDS = noop("withdraw a find number with its reason")
    REVIEW_CASES = noop("review heritage cases")
    ISSUE_HERITAGE_REPORTS = noop("issue heritage reports")
    ISSUE_REPORTS = noop("issue reports to landholders")
    MOVE_CUSTODY = noop("record hand-overs of finds")
    SETTLE = noop("value finds and settle what they are worth")
    SEE_PEOPLE = noop("see everybody's membership and contacts")
    MANAGE_PEOPLE = noop("manage people, roles, membership and insurance")
    MANAGE_CLUB = noop("change the club's settings")
    SEE_AUDIT = noop("read the audit trail")


_MEMBER = frozenset({Right.SIGN_UP, Right.LOG_HOLES})
_LEADER = frozenset(
    {
        Right.SEE_ALL_LAND,
        Right.SEE_ALL_HUNTS,
        Right.PLAN_HUNT,
        Right.RUN_HUNT,
        Right.CHECK_HOLES,
        Right.ISSUE_REPORTS,
        Right.SEE_PEOPLE,
    }
)
_SECRETARY = frozenset(
    {
        *_LEADER,
        Right.MANAGE_LAND,
        Right.SEE_LANDHOLDERS,
        Right.MANAGE_PERMISSIONS,
        Right.SEE_ALL_HOLES,
        Right.SEE_ALL_FINDS,
        Right.SEE_FINDSPOTS,
        Right.VOID_FINDS,
        Right.MOVE_CUSTODY,
        Right.SETTLE,
        Right.MANAGE_PEOPLE,
        Right.MANAGE_CLUB,
        Right.SEE_AUDIT,
    }
)
_COMMITTEE = frozenset(
    {
        Right.SEE_ALL_LAND,
        Right.SEE_ALL_HUNTS,
        Right.SEE_ALL_HOLES,
        Right.SEE_ALL_FINDS,
        Right.SEE_FINDSPOTS,
        Right.SEE_LOCKED_FINDSPOTS,
        Right.REVIEW_CASES,
        Right.ISSUE_HERITAGE_REPORTS,
        Right.MOVE_CUSTODY,
        Right.SEE_AUDIT,
    }
)
ROLE_RIGHTS: dict[Role, frozenset[Right]] = {
    Role.MEMBER: _MEMBER,
    Role.LEADER: _LEADER,
    Role.SECRETARY: _SECRETARY,
    Role.COMMITTEE: _COMMITTEE,
}

BEHIND_SECOND_FACTOR = frozenset(
    {
        Right.MANAGE_PEOPLE,
        Right.MANAGE_CLUB,
        Right.MANAGE_PERMISSIONS,
        Right.SEE_LANDHOLDERS,
        Right.SEE_FINDSPOTS,
        Right.SEE_LOCKED_FINDSPOTS,
        Right.MOVE_CUSTODY,
    }
)
"""Whoever holds one of these signs in with two factors: it would open what other people trusted the club with."""


class HoldsRights(Protocol):
    def holds(self, right: Right) -> bool: ...


def rights_of(roles: Iterable[Role]) -> frozenset[Right]:
    """Every right that the roles give together."""
    return frozenset().union(*(ROLE_RIGHTS[role] for role in roles))


def require(by: HoldsRights, right: Right) -> None:
    """Raise PermissionDenied naming the right that `by` does not hold."""
    if not by.holds(right):
        raise PermissionDenied(_("You may not %(right_value)s.") % {"right_value": _(right.value)})
