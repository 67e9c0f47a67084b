"""One visit to the officer with finds of several people: planned, recorded whole or not at all, or called off."""

from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import localdate, now

from finds.actions import CustodyError, propose_hand_over, record_loss
from finds.actions.custody import first_holder
from finds.models import CustodyEntry, HandOver
from reports.actions import (
    OfficerVisitError,
    call_off_officer_visit,
    plan_officer_visit,
    record_officer_visit,
)
from reports.build.officer_visit import visit_papers
from reports.models import OfficerVisit
from reports.officer_visit_page import candidates, items_of, the_club
from reports.plain import plain_report
from reports.states import OfficerVisitState
from tests import make
from tests.views.world import World, build, shared_world
from web.states import IllegalMoveError

pytestmark = [pytest.mark.django_db, pytest.mark.once]  # papers are made of what was read


standing_world, world = shared_world(build)


def plan(world: World, *finds: Any, **fields: Any) -> OfficerVisit:
    values = {
        "client_id": uuid4(), "on": localdate(), "to_name": "Ida Drift", "to_holder": "officer",
        "taken_by": "Cora Boulder", "purpose": "Recording", "place": "County hall",
    }  # fmt: skip
    finds = finds or (world.locked, world.others_locked)
    return plan_officer_visit([find.pk for find in finds], by=world.committee, at=now(), **(values | fields))


def record(world: World, visit: OfficerVisit, **fields: Any) -> OfficerVisit:
    values: dict[str, Any] = {"evidence": "receipts signed", "conditions": {}, "left": {}}
    return record_officer_visit(visit.pk, by=world.committee, at=now(), **(values | fields))


def holder(find: Any) -> tuple[str, str]:
    last = CustodyEntry.objects.filter(find=find).order_by("-step")[0]
    return last.to_holder, last.to_name


def test_planning_changes_nobodys_custody_and_gives_a_number(world: World) -> None:
    visit = plan(world)
    assert visit.number == f"B{localdate().year}-0001"
    assert holder(world.locked) == ("finder", "Mo Samphire")
    assert not HandOver.objects.exists()


def test_recording_hands_over_each_givers_finds_in_one_go(world: World) -> None:
    visit = record(world, plan(world), conditions={world.locked.pk: "two in a clod"})
    assert visit.state == OfficerVisitState.DONE
    assert holder(world.locked) == holder(world.others_locked) == ("officer", "Ida Drift")
    made = HandOver.objects.order_by("from_name")
    assert [(row.from_name, row.state, row.items.count()) for row in made] == [
        ("Len Groyne", "accepted", 1),
        ("Mo Samphire", "accepted", 1),
    ]
    assert all(item.hand_over_id for item in visit.items.all())
    entry = CustodyEntry.objects.get(find=world.locked, step=2)
    assert (entry.condition, entry.evidence or entry.hand_over.evidence) == (
        "two in a clod",
        "receipts signed",
    )


def test_recording_it_twice_moves_nothing_twice(world: World) -> None:
    visit = plan(world)
    record(world, visit)
    record(world, visit)
    assert CustodyEntry.objects.filter(find=world.locked).count() == 2


def test_what_was_left_stays_with_its_holder_and_says_why(world: World) -> None:
    visit = record(world, plan(world), left={world.locked.pk: "the officer had no room"})
    assert holder(world.locked) == ("finder", "Mo Samphire")
    item = visit.items.get(find=world.locked)
    assert (item.why, item.hand_over) == ("the officer had no room", None)


def test_if_one_find_cannot_go_none_moves(world: World) -> None:
    visit = plan(world)
    record_loss(
        world.others_locked.pk, by=world.leader, at=now(), after_step=1, what="lost", happened_on=localdate(),
        words="fell out of a pocket",
    )  # fmt: skip
    with pytest.raises(CustodyError, match=f"{world.others_locked.number} is with nobody"):
        record(world, visit)
    assert holder(world.locked) == ("finder", "Mo Samphire")
    assert not HandOver.objects.exists()
    visit.refresh_from_db()
    assert visit.state == OfficerVisitState.PLANNED


def test_a_find_that_waits_in_another_hand_over_is_named(world: World) -> None:
    visit = plan(world)
    propose_hand_over(
        [world.locked.pk], by=world.member, at=now(), client_id=uuid4(), to_holder="club", to_name="Sal Marram",
        purpose="Keeping", capacity="finder",
    )  # fmt: skip
    with pytest.raises(CustodyError, match=f"{world.locked.number} waits in M"):
        record(world, visit)
    assert holder(world.others_locked) == ("finder", "Len Groyne")


def test_a_find_with_an_authority_or_on_another_list_cannot_be_planned(world: World) -> None:
    plan(world, world.others_locked)
    with pytest.raises(OfficerVisitError, match=f"{world.others_locked.number} is on the list of B"):
        plan(world)
    record(world, OfficerVisit.objects.get())
    with pytest.raises(OfficerVisitError, match=r"is with Ida Drift \(heritage officer\)"):
        plan(world)
    assert OfficerVisit.objects.count() == 1


def test_the_same_form_twice_is_one_visit(world: World) -> None:
    key = uuid4()
    assert plan(world, client_id=key).pk == plan(world, client_id=key).pk


def test_a_visit_of_nothing_is_refused(world: World) -> None:
    with pytest.raises(OfficerVisitError, match="at least one"):
        plan_officer_visit([], by=world.committee, at=now(), client_id=uuid4())
    visit = plan(world)
    with pytest.raises(OfficerVisitError, match="call the visit off"):
        record(world, visit, left={world.locked.pk: "x", world.others_locked.pk: "y"})


def test_a_visit_is_recorded_on_its_day_or_later(world: World) -> None:
    visit = plan(world, on=make.days(2))
    with pytest.raises(OfficerVisitError, match="record it when it has been"):
        record(world, visit)


def test_without_evidence_nothing_is_recorded(world: World) -> None:
    visit = plan(world)
    with pytest.raises(CustodyError, match="what shows that it was received"):
        record(world, visit, evidence=" ")
    assert holder(world.locked) == ("finder", "Mo Samphire")


def test_a_visit_called_off_stays_so_and_its_finds_may_go_with_another(world: World) -> None:
    visit = plan(world)
    call_off_officer_visit(visit.pk, by=world.committee, at=now(), why="snow")
    call_off_officer_visit(visit.pk, by=world.committee, at=now(), why="snow again")
    visit.refresh_from_db()
    assert (visit.state, visit.why) == (OfficerVisitState.CALLED_OFF, "snow")
    with pytest.raises(IllegalMoveError):
        record(world, visit)
    assert plan(world).number.endswith("0002")


def test_a_recorded_visit_cannot_be_called_off(world: World) -> None:
    visit = record(world, plan(world))
    with pytest.raises(IllegalMoveError):
        call_off_officer_visit(visit.pk, by=world.committee, at=now(), why="x")


@pytest.mark.parametrize("who", ["member", "leader", "stranger"])
def test_only_those_who_keep_custody_plan_and_record(world: World, who: str) -> None:
    visit, by = plan(world, world.locked), world.reader(who)
    with pytest.raises(PermissionDenied):
        plan_officer_visit([world.others_locked.pk], by=by, at=now(), client_id=uuid4())
    with pytest.raises(PermissionDenied):
        record_officer_visit(visit.pk, by=by, at=now(), evidence="x", conditions={}, left={})
    with pytest.raises(PermissionDenied):
        call_off_officer_visit(visit.pk, by=by, at=now(), why="x")


def test_what_may_go_are_finds_under_a_running_case_that_nobody_else_takes(world: World) -> None:
    assert {row.find for row in candidates(world.committee)} == {world.locked, world.others_locked}
    plan(world, world.locked)
    assert [row.find for row in candidates(world.secretary)] == [world.others_locked]
    assert "case" not in candidates(world.secretary)[0].words.lower()


# The papers


def papers(world: World, visit: OfficerVisit, **more: Any) -> str:
    return plain_report(visit_papers(visit, items_of(visit), club=the_club(), on=localdate(), **more))


def test_the_papers_list_the_objects_and_hold_a_receipt_for_each_giver(world: World) -> None:
    first_holder(world.find, by=world.member, at=now())
    text = papers(world, plan(world, world.locked, world.others_locked, world.find))
    assert text.count("Receipt for ") == 2
    assert "Receipt for Mo Samphire (finder)" in text
    assert "The 2 entries above were handed over and received" in text
    assert "Handed over: Cora Boulder" in text
    assert "Received: Ida Drift" in text
    for number in (world.locked.number, world.others_locked.number, world.find.number):
        assert number in text


# Object entry in the museum procedure Spectrum, as the trade file section 8 names it: unique number, owner or
# depositor and their authority, reason, terms, return date, condition, receipt to depositor, location,
# uncollected-items rule.
ENTRY = (
    "Receipt: ",
    "Handed over by: ",
    "On whose authority: ",
    "What for: ",
    "Due back: ",
    "Condition",
    "Kept at: ",
    "not collected",
)


def test_a_receipt_holds_what_object_entry_asks(world: World) -> None:
    text = papers(world, record(world, plan(world, due_back=make.days(60))))
    assert [words for words in ENTRY if words not in text] == []
    assert "As the finder; who owns it is not settled" in text
    assert HandOver.objects.get(from_name="Mo Samphire").number in text


def test_without_the_tick_the_list_names_no_findspot(world: World) -> None:
    assert "TA 4" not in papers(world, plan(world))
    assert "findspot" not in papers(world, OfficerVisit.objects.get()).lower()
