"""The table of rights, as the club's people expect it."""

import pytest
from django.core.exceptions import PermissionDenied

from people.rights import ROLE_RIGHTS, Right, Role, require, rights_of

M, L, S, C = Role.MEMBER, Role.LEADER, Role.SECRETARY, Role.COMMITTEE

# Written out again on purpose: whoever changes the table says so here too.
HELD_BY: dict[Right, set[Role]] = {
    Right.SIGN_UP: {M},
    Right.LOG_HOLES: {M},
    Right.SEE_ALL_LAND: {L, S, C},
    Right.SEE_ALL_HUNTS: {L, S, C},
    Right.PLAN_HUNT: {L, S},
    Right.RUN_HUNT: {L, S},
    Right.CHECK_HOLES: {L, S},
    Right.ISSUE_REPORTS: {L, S},
    Right.SEE_PEOPLE: {L, S},
    Right.MANAGE_LAND: {S},
    Right.SEE_LANDHOLDERS: {S},
    Right.MANAGE_PERMISSIONS: {S},
    Right.SEE_ALL_HOLES: {S, C},
    Right.SEE_ALL_FINDS: {S, C},
    Right.SEE_FINDSPOTS: {S, C},
    Right.VOID_FINDS: {S},
    Right.MOVE_CUSTODY: {S, C},
    Right.SETTLE: {S},
    Right.MANAGE_PEOPLE: {S},
    Right.MANAGE_CLUB: {S},
    Right.SEE_AUDIT: {S, C},
    Right.SEE_LOCKED_FINDSPOTS: {C},
    Right.REVIEW_CASES: {C},
    Right.ISSUE_HERITAGE_REPORTS: {C},
}


@pytest.mark.parametrize("right", Right)
def test_each_right_is_held_by_exactly_these_roles(right: Right) -> None:
    assert {role for role in Role if right in ROLE_RIGHTS[role]} == HELD_BY[right]


def test_nobody_holds_anything_without_a_role() -> None:
    assert rights_of([]) == frozenset()


def test_roles_add_up() -> None:
    assert rights_of([M, C]) == ROLE_RIGHTS[M] | ROLE_RIGHTS[C]


class Person:
    def __init__(self, *roles: Role) -> None:
        self.rights = rights_of(roles)

    def holds(self, right: Right) -> bool:
        return right in self.rights


def test_a_missing_right_is_named() -> None:
    with pytest.raises(PermissionDenied, match="You may not review heritage cases"):
        require(Person(M, S), Right.REVIEW_CASES)


def test_a_right_that_is_held_passes() -> None:
    require(Person(C), Right.REVIEW_CASES)
