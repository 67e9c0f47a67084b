"""Permissions: written down, moved, paused at once, and what the trail keeps of it."""

from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import localdate, now

from people.models import AuditEntry, User
from permissions import actions
from permissions.gate import Answer
from permissions.gate_facts import answers_for
from permissions.models import Permission
from permissions.states import State
from tests import make
from web.states import IllegalMoveError
from web.taken import TakenError


def write_down(by: User, **fields: object) -> Permission:
    values = {
        "client_id": uuid4(),
        "reference": "P900",
        "title": "Saltmere",
        "sites": [make.site(by=by)],
    } | fields
    return actions.add_permission(by=by, at=now(), **values)


def test_a_new_permission_is_a_draft_and_shuts_the_gate(secretary: User) -> None:
    permission = write_down(secretary)
    site = permission.sites.get()
    assert permission.state == State.DRAFT
    assert answers_for([site], localdate())[site.pk].answer is Answer.SHUT


def test_a_leader_may_not_write_one_down(leader: User) -> None:
    with pytest.raises(PermissionDenied):
        write_down(leader)


def test_the_same_form_twice_is_one_permission(secretary: User) -> None:
    key, sites = uuid4(), [make.site(by=secretary)]
    assert write_down(secretary, client_id=key, sites=sites) == write_down(
        secretary, client_id=key, sites=sites
    )


def test_a_reference_in_use_is_refused_by_name(secretary: User) -> None:
    write_down(secretary)
    with pytest.raises(TakenError, match="P900"):
        write_down(secretary)


def test_a_move_that_the_table_lacks_is_refused(secretary: User) -> None:
    permission = write_down(secretary)
    with pytest.raises(IllegalMoveError, match="It is draft now"):
        actions.move_permission(permission.pk, State.ENDED, by=secretary, at=now())
    permission.refresh_from_db()
    assert permission.state == State.DRAFT


def test_a_move_pressed_twice_is_one(secretary: User) -> None:
    permission = write_down(secretary)
    for _ in range(2):
        actions.move_permission(permission.pk, State.ASKED, by=secretary, at=now())
    assert AuditEntry.objects.filter(verb="permission.asked").count() == 1


def test_a_landholders_pause_shuts_the_gate_at_once_and_taking_up_again_opens_it(secretary: User) -> None:
    site = make.site(by=secretary)
    permission = make.permission(site)
    assert answers_for([site], localdate())[site.pk].answer is Answer.OPEN
    actions.pause_permission(permission, by=None, via="link 4", at=now(), why="ewes in the field")
    assert answers_for([site], localdate())[site.pk].answer is Answer.SHUT
    permission.refresh_from_db()
    assert permission.paused_why == "ewes in the field"
    line = AuditEntry.objects.get(verb="permission.paused")
    assert (line.by, line.via, line.changes["why"]) == (None, "link 4", "ewes in the field")
    actions.move_permission(permission.pk, State.GRANTED, by=secretary, at=now(), why="they rang")
    assert answers_for([site], localdate())[site.pk].answer is Answer.OPEN


def test_pausing_twice_keeps_it_paused_and_both_reasons(secretary: User) -> None:
    permission = make.permission(make.site(by=secretary))
    for why in ("shoot", "lambs"):
        actions.pause_permission(permission, by=None, via="link 4", at=now(), why=why)
    permission.refresh_from_db()
    assert permission.state == State.PAUSED
    assert {line.changes["why"] for line in AuditEntry.objects.filter(via="link 4")} == {"shoot", "lambs"}


def test_an_account_without_the_right_may_not_pause(member: User, secretary: User) -> None:
    with pytest.raises(PermissionDenied):
        actions.pause_permission(
            make.permission(make.site(by=secretary)), by=member, via="", at=now(), why="because"
        )


def test_a_changed_term_is_kept_before_and_after(secretary: User) -> None:
    permission = write_down(secretary, max_heads=10)
    sites = list(permission.sites.all())
    actions.change_permission(permission.pk, by=secretary, at=now(), sites=sites, max_heads=6)
    assert AuditEntry.objects.get(verb="permission.change").changes["values"] == {"max_heads": ["10", "6"]}
