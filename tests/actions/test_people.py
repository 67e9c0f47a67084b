"""People, roles, memberships and the club's settings: rights, the trail, and what twice does."""

from datetime import date, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import now

from people import actions
from people.actions import LastSecretaryError
from people.models import AuditEntry, Club, Contact, Insurance, Membership, RoleHeld, User
from people.rights import Right, Role
from tests import make, make_factors
from web.append_only import AppendOnlyError

pytestmark = pytest.mark.django_db

NEW: dict[str, Any] = {"email": "New@Ravensand.example", "name": "Nan Spurn"}


def year() -> dict[str, date]:
    return {"starts": make.days(0), "ends": make.days(364)}


def verbs() -> list[str]:
    return list(AuditEntry.objects.order_by("pk").values_list("verb", flat=True))


def fresh(user: User) -> User:
    """The account as the next request meets it: rights are worked out once a request."""
    return User.objects.get(pk=user.pk)


# Adding and changing people


def test_a_secretary_adds_a_person_with_a_membership_and_no_password(secretary: User) -> None:
    person = actions.add_person(by=secretary, at=now(), **NEW, **year())
    assert person.email == "new@ravensand.example"
    assert not person.has_usable_password()
    assert fresh(person).roles == {Role.MEMBER}
    assert AuditEntry.objects.get().by == secretary


def test_the_same_address_twice_is_one_account_however_it_is_written(secretary: User) -> None:
    first = actions.add_person(by=secretary, at=now(), **NEW, **year())
    again = actions.add_person(
        by=secretary, at=now(), email="NEW@ravensand.EXAMPLE", name="Nan Spurn", **year()
    )
    assert again.pk == first.pk
    assert verbs() == ["person.add"]


def test_a_person_is_added_whole_or_not_at_all(secretary: User) -> None:
    with pytest.raises(Exception, match="ends_after_start"):
        actions.add_person(by=secretary, at=now(), **NEW, starts=make.days(0), ends=make.days(-1))
    assert not User.objects.filter(email="new@ravensand.example").exists()
    assert verbs() == []


def test_people_change_their_own_details_and_the_trail_names_the_fields(member: User) -> None:
    actions.change_own(by=member, at=now(), phone="01632 960123", name=member.name)
    assert AuditEntry.objects.get().changes == {"changed": ["phone"]}


def test_a_change_that_changes_nothing_leaves_no_line(secretary: User, member: User) -> None:
    actions.change_person(member.pk, by=secretary, at=now(), name=member.name)
    assert verbs() == []


MANAGED = {
    "add_person": lambda by, other: actions.add_person(by=by, at=now(), **NEW, **year()),
    "change_person": lambda by, other: actions.change_person(other.pk, by=by, at=now(), name="X"),
    "give_membership": lambda by, other: actions.give_membership(other, by=by, at=now(), **year()),
    "give_insurance": lambda by, other: actions.give_insurance(
        other, by=by, at=now(), insurer="Humber Mutual", **year()
    ),
    "give_role": lambda by, other: actions.give_role(other, Role.LEADER, by=by, at=now(), on=make.days(0)),
    "take_role": lambda by, other: actions.take_role(
        RoleHeld.objects.get_or_create(
            user=other, role=Role.LEADER, ends=None, defaults={"starts": make.days(-1)}
        )[0].pk,
        by=by,
        at=now(),
        on=make.days(0),
    ),
    "invite_person": lambda by, other: actions.invite_person(
        by=by, at=now(), site="https://club.example", client_id=uuid4(), **NEW, **year()
    ),
    "send_invitation": lambda by, other: actions.send_invitation(
        make_factors.invited(by=other).user_id, by=by, at=now(), site="https://club.example"
    ),
    "withdraw_invitation": lambda by, other: actions.withdraw_invitation(
        make_factors.invited(by=other).pk, by=by, at=now()
    ),
    "take_factors_off": lambda by, other: actions.take_factors_off(
        make_factors.app(other).user_id, by=by, at=now()
    ),
    "change_club": lambda by, other: actions.change_club(by=by, at=now(), name="X"),
    "save_contact": lambda by, other: actions.save_contact(
        None, by=by, at=now(), kind="coroner", name="H. M. Coroner"
    ),
    "remove_contact": lambda by, other: actions.remove_contact(
        Contact.objects.create(kind="coroner", name="Y"), by=by, at=now()
    ),
}


VERBS = {  # what leaves more than one line: sign-ins end with the role and with the second factors
    "invite_person": ["person.add", "person.invite"],
    "take_role": ["role.take", "account.sessions_ended"],
    "take_factors_off": ["account.sessions_ended", "account.factors_taken_off"],
}


@pytest.mark.parametrize("name", MANAGED)
def test_only_the_secretary_manages_people_and_the_club(
    name: str, secretary: User, leader: User, committee: User, stranger: User, member: User
) -> None:
    make.club()
    for by in (leader, committee, stranger, make.person()):
        with pytest.raises(PermissionDenied, match="You may not"):
            MANAGED[name](by, member)
    assert verbs() == []
    MANAGED[name](secretary, member)
    assert verbs() == VERBS[name] if name in VERBS else len(verbs()) == 1


# Periods


def test_the_same_membership_or_card_twice_is_one(secretary: User) -> None:
    person = make.person(member=False, insured=False)
    for _ in range(2):
        actions.give_membership(person, by=secretary, at=now(), **year())
        actions.give_insurance(person, by=secretary, at=now(), insurer="Humber Mutual", **year())
    assert (
        Membership.objects.filter(user=person).count(),
        Insurance.objects.filter(user=person).count(),
    ) == (
        1,
        1,
    )
    assert verbs() == ["membership.give", "insurance.give"]


@pytest.mark.parametrize(
    ("first", "last", "is_member"), [(-1, 0, True), (0, 0, True), (-9, -1, False), (1, 9, False)]
)
def test_both_days_of_a_membership_count(first: int, last: int, is_member: bool) -> None:
    person = make.person(Role.SECRETARY, member=False)
    Membership.objects.create(user=person, starts=make.days(first), ends=make.days(last))
    assert fresh(person).holds(Right.MANAGE_PEOPLE) is is_member
    assert User.objects.members_on(make.days(0)).filter(pk=person.pk).exists() is is_member


def test_two_memberships_that_overlap_make_one_member() -> None:
    person = make.person()
    Membership.objects.create(user=person, starts=make.days(-5), ends=make.days(5))
    assert list(User.objects.members_on(make.days(0)).filter(pk=person.pk)) == [person]


def test_an_account_that_is_switched_off_holds_no_right() -> None:
    assert not make.person(Role.SECRETARY, is_active=False).rights


# Roles


def test_a_role_given_twice_is_held_once(secretary: User, member: User) -> None:
    rows = {actions.give_role(member, Role.LEADER, by=secretary, at=now(), on=make.days(0)).pk for _ in "ab"}
    assert len(rows) == 1
    assert verbs() == ["role.give"]
    assert fresh(member).holds(Right.RUN_HUNT)


def test_a_role_taken_back_ends_that_day_and_stays_in_the_record(secretary: User, leader: User) -> None:
    held = leader.roles_held.get()
    for _ in range(2):
        actions.take_role(held.pk, by=secretary, at=now(), on=make.days(0))
    held.refresh_from_db()
    assert held.ends == make.days(0)
    assert not fresh(leader).holds(Right.RUN_HUNT)
    assert verbs() == ["role.take", "account.sessions_ended"]


def test_a_role_can_be_given_again_after_it_was_taken_back(secretary: User, leader: User) -> None:
    actions.take_role(leader.roles_held.get().pk, by=secretary, at=now(), on=make.days(0))
    actions.give_role(leader, Role.LEADER, by=secretary, at=now(), on=make.days(0))
    assert fresh(leader).holds(Right.RUN_HUNT)


def test_the_last_secretary_stays(secretary: User) -> None:
    with pytest.raises(LastSecretaryError, match="Sal Marram is the only secretary"):
        actions.take_role(secretary.roles_held.get().pk, by=secretary, at=now(), on=make.days(0))
    assert fresh(secretary).holds(Right.MANAGE_PEOPLE)
    assert verbs() == []


def test_a_secretary_may_go_when_another_can_act(secretary: User) -> None:
    other = make.person(Role.SECRETARY)
    actions.take_role(secretary.roles_held.get().pk, by=other, at=now(), on=make.days(0))
    assert not fresh(secretary).holds(Right.MANAGE_PEOPLE)


@pytest.mark.parametrize(
    "cannot_act",
    [
        {"member": False},  # membership lapsed
        {"is_active": False},  # account switched off
    ],
)
def test_a_secretary_who_cannot_act_does_not_count(secretary: User, cannot_act: dict[str, bool]) -> None:
    make.person(Role.SECRETARY, **cannot_act)
    with pytest.raises(LastSecretaryError):
        actions.take_role(secretary.roles_held.get().pk, by=secretary, at=now(), on=make.days(0))


def test_the_only_secretary_cannot_be_switched_off(secretary: User) -> None:
    with pytest.raises(LastSecretaryError):
        actions.change_person(secretary.pk, by=secretary, at=now(), is_active=False)
    assert fresh(secretary).is_active


def test_another_account_can_be_switched_off(secretary: User, leader: User) -> None:
    actions.change_person(leader.pk, by=secretary, at=now(), is_active=False)
    assert not fresh(leader).rights


# The club


def test_the_trail_names_the_settings_that_changed(secretary: User) -> None:
    make.club()
    actions.change_club(by=secretary, at=now(), name="Ravensand & District Search Club", find_prefix="R")
    assert Club.objects.get().find_prefix == "R"
    assert AuditEntry.objects.get().changes == {"changed": ["find_prefix"]}


def test_a_club_without_settings_gets_them(secretary: User) -> None:
    actions.change_club(by=secretary, at=now(), name="Ravensand")
    assert Club.objects.get(pk=1).name == "Ravensand"


def test_a_contact_added_twice_is_one(secretary: User) -> None:
    fields = {"kind": "coroner", "name": "H. M. Coroner", "phone": "01632 960001"}
    rows = {actions.save_contact(None, by=secretary, at=now(), **fields).pk for _ in "ab"}
    assert len(rows) == 1
    assert verbs() == ["contact.add"]


def test_a_contact_is_changed_in_place(secretary: User) -> None:
    contact = Contact.objects.create(kind="coroner", name="H. M. Coroner")
    actions.save_contact(contact.pk, by=secretary, at=now(), phone="01632 960001")
    contact.refresh_from_db()
    assert contact.phone == "01632 960001"
    assert AuditEntry.objects.get().changes == {"changed": ["phone"]}


# The trail itself


def test_a_line_of_the_trail_cannot_be_changed_or_taken_away(secretary: User, member: User) -> None:
    actions.give_role(member, Role.LEADER, by=secretary, at=now(), on=make.days(0))
    line = AuditEntry.objects.get()
    line.verb = "nothing"
    for attempt in (line.save, line.delete, AuditEntry.objects.all().delete):
        with pytest.raises(AppendOnlyError):
            attempt()
    with pytest.raises(AppendOnlyError):
        AuditEntry.objects.filter(pk=line.pk).update(verb="nothing")
    assert AuditEntry.objects.get().verb == "role.give"


def test_a_line_keeps_the_moment_it_was_told(secretary: User, member: User) -> None:
    at = now() - timedelta(3)
    actions.give_role(member, Role.LEADER, by=secretary, at=at, on=make.days(0))
    assert AuditEntry.objects.get().at == at
