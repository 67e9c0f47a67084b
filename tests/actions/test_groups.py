"""Same-find groups: who is in, in which order, what is screened when somebody comes or goes, and what is locked."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils.timezone import localdate, now

from finds.actions import GroupError, add_to_group, change_find, make_group, take_out, withdraw_find
from finds.actions.screening import screen_find
from finds.circumstances import answers_from
from finds.models import Case, Find, FindGroup, FindMaterial, GroupEvent, ScreeningRecord
from law.screening import Screening
from people.models import User
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def hunt(member: User, leader: User):
    make.club()
    hunt = make.hunt(leader=leader, state="running", starts_at="00:00", ends_at="23:59")
    make.attendance(hunt, member)
    return hunt


def coin(
    hunt, by: User, *, days_ago: int = 0, material: str = "silver", share: int = 92, **fields: Any
) -> Find:
    """A coin struck between 1205 and 1247, found so many days ago and screened then."""
    found = now() - timedelta(days=days_ago, minutes=1)
    values = {"object_type": "penny", "is_coin": "yes", "year_from": 1205, "year_to": 1247, "found_at": found}
    find = make.find(hunt, by, **({**values, "facts": answers_from(["none"]) | {"assay": "bulk"}} | fields))
    FindMaterial.objects.create(find=find, material=material, share_percent=share)
    screen_find(find, by=by, at=found)
    find.refresh_from_db()
    return find


def group_of(*finds: Find, by: User) -> FindGroup:
    numbers = [find.number for find in finds]
    return make_group(numbers, by=by, at=now(), reasons="in one clod", client_id=uuid4())


def latest(find: Find) -> Screening:
    return Screening.from_dict(ScreeningRecord.objects.filter(find=find)[0].result)


def due_of(find: Find, rule: str) -> Any:
    return next(duty.due.on for duty in latest(find).duties if duty.rule == rule)


def fresh(*finds: Find) -> list[Find]:
    rows = {find.pk: find for find in Find.objects.filter(pk__in=[find.pk for find in finds])}
    return [rows[find.pk] for find in finds]


def test_two_old_silver_coins_lock_each_other_and_share_a_case(hunt, member: User, committee: User) -> None:
    first, second = coin(hunt, member), coin(hunt, member)
    group_of(first, second, by=committee)
    assert all(find.locked for find in fresh(first, second))
    assert set(Case.objects.get().finds.all()) == {first, second}


def test_whatever_lay_with_them_is_locked_too(hunt, member: User, committee: User) -> None:
    pot = make.find(hunt, member, object_type="sherds", is_coin="no", facts=answers_from(["none"]))
    FindMaterial.objects.create(find=pot, material="pottery")
    finds = (coin(hunt, member), coin(hunt, member), pot)
    group_of(*finds, by=committee)
    assert all(find.locked for find in fresh(*finds))
    assert Case.objects.get().finds.count() == 3


def test_the_clock_of_an_earlier_coin_starts_when_the_later_one_gave_reason_to_believe(
    hunt, member: User, committee: User
) -> None:
    """Treasure Act 1996 s.8(2): fourteen days beginning with the day after the find, or, if later, with the day on
    which the finder first believes or has reason to believe. Alone, with nothing near it, one coin is no reason.
    """
    early, late = coin(hunt, member, days_ago=30), coin(hunt, member, days_ago=2)
    group_of(early, late, by=committee)
    found_late = localdate() - timedelta(days=2)
    assert due_of(late, "ta-2") == found_late + timedelta(days=14)
    assert due_of(early, "ta-2") == found_late + timedelta(days=13)  # that day is day 1
    assert Case.objects.get().due_on == found_late + timedelta(days=13)


def test_taking_a_find_out_screens_both_sides_and_keeps_what_was(hunt, member: User, committee: User) -> None:
    finds = [coin(hunt, member) for _ in range(3)]
    group = group_of(*finds, by=committee)
    before = ScreeningRecord.objects.count()
    take_out(group.pk, finds[0].pk, by=committee, at=now(), words="it fell from another bag")
    assert ScreeningRecord.objects.count() == before + 3
    assert [find.group_id for find in fresh(*finds)] == [None, group.pk, group.pk]
    assert "ta-2" not in {duty.rule for duty in latest(finds[0]).duties if duty.weight == "test"}
    events = GroupEvent.objects.filter(group=group, verb="left")
    assert [(event.find, event.words) for event in events] == [(finds[0], "it fell from another bag")]


def test_a_running_case_keeps_what_is_taken_out_until_the_committee_ends_it(
    hunt, member: User, committee: User
) -> None:
    finds = [coin(hunt, member) for _ in range(3)]
    group = group_of(*finds, by=committee)
    take_out(group.pk, finds[0].pk, by=committee, at=now(), words="another bag")
    case = Case.objects.get()
    assert finds[0] in case.finds.all()
    assert fresh(finds[0])[0].locked
    assert case.events.last().words == f"{finds[0].number} was taken out of the same find: another bag"


def test_a_group_of_one_is_no_group(hunt, member: User, committee: User) -> None:
    first, second = coin(hunt, member), coin(hunt, member)
    group = group_of(first, second, by=committee)
    take_out(group.pk, first.pk, by=committee, at=now(), words="another bag")
    assert [find.group_id for find in fresh(first, second)] == [None, None]
    assert latest(second).to_dict()["duties"] == latest(first).to_dict()["duties"]


def test_the_second_of_two_who_take_it_out_is_told_who_was_quicker(
    hunt, member: User, committee: User
) -> None:
    finds = [coin(hunt, member) for _ in range(3)]
    group = group_of(*finds, by=committee)
    take_out(group.pk, finds[0].pk, by=committee, at=now(), words="x")
    with pytest.raises(GroupError, match=f"taken out by {committee.name}"):
        take_out(group.pk, finds[0].pk, by=committee, at=now(), words="x")


def test_a_find_that_is_put_in_brings_its_group_and_the_old_one_says_where_they_went(
    hunt, member: User, committee: User
) -> None:
    finds = [coin(hunt, member) for _ in range(4)]
    old, new = group_of(*finds[:2], by=committee), group_of(*finds[2:], by=committee)
    add_to_group(new.pk, [finds[0].number], by=committee, at=now(), words="joins on")
    assert new.finds.count() == 4
    assert {event.words for event in old.events.filter(verb="left")} == {f"Went over to group {new.pk}."}
    with pytest.raises(GroupError, match="No find is in this group any more"):
        add_to_group(old.pk, [finds[0].number], by=committee, at=now(), words="x")
    with pytest.raises(GroupError, match="in this group already"):
        add_to_group(new.pk, [finds[1].number], by=committee, at=now(), words="x")


def test_only_the_committee_changes_groups(hunt, member: User, secretary: User, committee: User) -> None:
    first, second = coin(hunt, member), coin(hunt, member)
    group = group_of(first, second, by=committee)
    for person in (member, secretary):
        with pytest.raises(PermissionDenied):
            take_out(group.pk, first.pk, by=person, at=now(), words="x")
        with pytest.raises(PermissionDenied):
            add_to_group(group.pk, [first.number], by=person, at=now(), words="x")


def base_coins(hunt, by: User, count: int) -> list[Find]:
    """Copper-alloy coins without gold or silver: ten of them make a duty, nine none (s.1(1)(a)(iii))."""
    facts = answers_from(["none"]) | {"gold": "no", "silver": "no", "worked": "yes"}
    return [coin(hunt, by, material="copper alloy", share=0, facts=facts) for _ in range(count)]


def test_a_withdrawn_record_counts_no_more(hunt, member: User, committee: User) -> None:
    *nine, tenth = base_coins(hunt, member, 10)
    group = group_of(*nine, by=committee)
    assert not any(find.locked for find in fresh(*nine))
    withdraw_find(nine[0].pk, by=member, at=now(), why="typed twice")
    add_to_group(group.pk, [tenth.number], by=committee, at=now(), words="with them")
    assert not any(find.locked for find in fresh(*nine[1:], tenth))
    assert fresh(nine[0])[0].group_id is None
    assert group.events.filter(verb="withdrawn", words="typed twice").exists()


def test_the_tenth_base_coin_locks_all_ten(hunt, member: User, committee: User) -> None:
    *nine, tenth = base_coins(hunt, member, 10)
    group = group_of(*nine, by=committee)
    add_to_group(group.pk, [tenth.number], by=committee, at=now(), words="with them")
    assert all(find.locked for find in fresh(*nine, tenth))
    assert Case.objects.get().finds.count() == 10


def test_what_one_coin_turns_out_to_be_is_screened_for_the_others_too(
    hunt, member: User, committee: User
) -> None:
    first, modern = coin(hunt, member), coin(hunt, member, year_from=1900, year_to=1910)
    group_of(first, modern, by=committee)
    assert not any(find.locked for find in fresh(first, modern))
    records = first.screenings.count()
    change_find(
        modern.pk, by=committee, at=now(), materials={"silver": 92}, year_from=1250, year_to=1260,
        found_at=modern.found_at,
    )  # fmt: skip
    assert all(find.locked for find in fresh(first, modern))
    assert first.screenings.count() == records + 1


def test_a_change_that_alters_nothing_for_the_others_keeps_no_record_of_them(
    hunt, member: User, committee: User
) -> None:
    first, second = coin(hunt, member), coin(hunt, member)
    group_of(first, second, by=committee)
    records = first.screenings.count()
    change_find(second.pk, by=member, at=now(), materials={"silver": 92}, description="cleaned with water")
    assert first.screenings.count() == records


def test_finds_on_a_border_are_each_judged_by_their_own_law(hunt, member: User, committee: User) -> None:
    scottish = make.site(jurisdiction="scotland")
    first, second = coin(hunt, member), coin(hunt, member, site=scottish)
    group_of(first, second, by=committee)
    packs = [ScreeningRecord.objects.filter(find=find)[0].pack_code for find in (first, second)]
    assert packs == ["england", "scotland"]
    assert "ta-2" in {duty.rule for duty in latest(first).duties}


@pytest.mark.once
def test_grouping_and_changing_a_hoard_asks_as_often_as_a_pair(hunt, member: User, committee: User) -> None:
    costs = []
    for size in (2, 2, 40):  # the first pays what a process looks up once
        finds = [coin(hunt, member) for _ in range(size)]
        with CaptureQueriesContext(connection) as grouping:
            group_of(*finds, by=committee)
        with CaptureQueriesContext(connection) as changing:
            change_find(finds[0].pk, by=member, at=now(), materials={"silver": 90}, year_from=1210)
        costs.append((len(grouping), len(changing)))
    assert costs[1] == costs[2]
