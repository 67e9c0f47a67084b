"""A find that says so stops everything: incident, lock, history; taken back with a reason; ended by the committee."""

from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.db import DatabaseError, transaction
from django.utils.timezone import now

from finds.actions import (
    DrillStandsError,
    answer_facts,
    change_find,
    free_place,
    move_case,
    record_find,
    rescreen,
    withdraw_find,
)
from finds.models import Find, FindDrill
from finds.states import CaseState
from finds.stops import ANY_OF
from hunts.actions import close_incident, do_drill, lift_stop, log_hole, take_over
from hunts.errors import HuntError
from hunts.models import Incident, IncidentEvent
from people.models import AuditEntry, User
from tests import make, make_cases

pytestmark = pytest.mark.django_db
WHY = "The police came: it is a plough bolt."


@pytest.fixture
def hunt(member: User, leader: User) -> Any:
    make.club()
    hunt = make.hunt(leader=leader, state="running", starts_at="00:01", ends_at="23:59", started_at=now())
    make.attendance(hunt, member)
    return hunt


def record(hunt: Any, by: User, **fields: Any) -> Find:
    values = {
        "client_id": uuid4(),
        "finder": by,
        "site": hunt.sites.all()[0],
        "found_at": now(),
        "object_type": "lump",
        "lon": 0.1512,
        "lat": 53.6007,
        "accuracy_m": 4.0,
    } | fields
    return record_find(hunt.pk, by=by, at=now(), materials={}, **values)


def stopped(hunt: Any, by: User, **answers: str) -> tuple[Find, Incident]:
    find = record(hunt, by, facts=answers or {"ordnance": "yes"})
    return find, find.drills.get().incident


def end_cases(find: Find, by: User) -> None:
    """The committee ends what screening opened; only the incident holds the lock then."""
    for case in find.cases.all():
        move_case(case.pk, CaseState.REVIEW, by=by, at=now(), words="looking")
        make_cases.no_duty(case, by, "a bolt")


def verbs(incident: Incident) -> list[str]:
    return list(incident.events.values_list("verb", flat=True))


EACH = [(kind, fact) for kind, facts in ANY_OF.items() for fact in facts]


@pytest.mark.parametrize(("kind", "fact"), EACH)
def test_each_answer_opens_its_incident_and_locks_find_and_hole(
    hunt: Any, member: User, leader: User, kind: str, fact: str
) -> None:
    hole = make.hole(hunt, member)
    find = record(hunt, member, hole=hole, facts={fact: "yes"})
    find.refresh_from_db()
    hole.refresh_from_db()
    incident = find.drills.get().incident
    assert (incident.kind, incident.hunt, incident.hole, incident.site) == (kind, hunt, hole, find.site)
    assert (find.locked, hole.locked, incident.locked) == (True, True, True)
    assert incident.recorded_by == member
    assert incident.lon is None  # the place stands in one record only
    assert find.number in incident.words
    assert verbs(incident) == ["opened"]
    assert AuditEntry.objects.filter(verb="incident.add", by=member).count() == 1


def test_an_answer_given_later_or_changed_in_the_record_does_the_same(hunt: Any, member: User) -> None:
    answered, changed = record(hunt, member), record(hunt, member)
    assert not Incident.objects.exists()
    answer_facts(answered.pk, by=member, at=now(), answers={"human_remains": "yes"})
    change_find(changed.pk, by=member, at=now(), materials={}, facts={"from_vessel": "yes"})
    assert sorted(Incident.objects.values_list("kind", flat=True)) == ["remains", "wreck"]
    assert Find.objects.filter(locked=True).count() == 2


def test_two_answers_open_two_incidents_and_saving_again_opens_none(hunt: Any, member: User) -> None:
    find = record(hunt, member, facts={"ordnance": "yes", "human_remains": "yes"})
    for _ in range(2):
        answer_facts(find.pk, by=member, at=now(), answers=find.facts | {"worked": "yes"})
        change_find(find.pk, by=member, at=now(), materials={}, description="again")
    assert sorted(find.drills.values_list("kind", flat=True)) == ["ordnance", "remains"]
    assert Incident.objects.count() == 2


def test_the_same_form_twice_opens_one_incident(hunt: Any, member: User) -> None:
    once = uuid4()
    first, second = (record(hunt, member, client_id=once, facts={"ordnance": "yes"}) for _ in range(2))
    assert first == second
    assert Incident.objects.count() == 1


def test_the_database_refuses_a_second_drill_of_a_kind(hunt: Any, member: User) -> None:
    find, incident = stopped(hunt, member)
    with pytest.raises(DatabaseError), transaction.atomic():
        FindDrill.objects.create(find=find, kind="ordnance", incident=incident, opened_at=now())


def test_a_find_out_of_a_stopped_hole_joins_its_incident(hunt: Any, member: User) -> None:
    hole = log_hole(
        hunt.pk,
        by=member,
        at=now(),
        client_id=uuid4(),
        stopped_for="ordnance",
        site=hunt.sites.all()[0],
        digger=member,
        dug_at=hunt.started_at,
        depth_cm=20,
        outcome="stopped",
    )
    find = record(hunt, member, hole=hole, facts={"ordnance": "yes"})
    assert find.drills.get().incident == hole.incidents.get()


def test_an_answer_is_not_taken_back_without_a_reason(hunt: Any, member: User) -> None:
    find, incident = stopped(hunt, member)
    with pytest.raises(DrillStandsError, match="This record said: ordnance"):
        answer_facts(find.pk, by=member, at=now(), answers={"ordnance": "no"})
    with pytest.raises(DrillStandsError, match="Say why it is taken back"):
        change_find(find.pk, by=member, at=now(), materials={}, facts={}, taken_back_why="  ")
    find.refresh_from_db()
    assert find.facts == {"ordnance": "yes"}  # the whole change was refused
    assert verbs(incident) == ["opened"]


def test_with_a_reason_incident_and_lock_stay_and_the_reason_is_kept(hunt: Any, member: User) -> None:
    find, incident = stopped(hunt, member)
    answer_facts(find.pk, by=member, at=now(), answers={"ordnance": "no"}, taken_back_why=WHY)
    find.refresh_from_db()
    assert (find.facts, find.locked, find.drills.get().said) == ({"ordnance": "no"}, True, False)
    event = incident.events.get(verb="taken back")
    assert (event.by, WHY in event.words) == (member, True)
    assert Incident.objects.open().get() == incident
    with pytest.raises(PermissionDenied):
        withdraw_find(find.pk, by=member, at=now(), why="second thoughts")


def test_what_is_said_again_opens_its_incident_and_lock_anew(
    hunt: Any, member: User, leader: User, committee: User
) -> None:
    find, incident = stopped(hunt, member)
    take_over(incident.pk, by=leader, at=now())
    answer_facts(find.pk, by=member, at=now(), answers={}, taken_back_why=WHY)
    end_cases(find, committee)
    close_incident(incident.pk, by=leader, at=now(), outcome=WHY)
    free_place(incident.pk, by=committee, at=now(), why=WHY)
    find.refresh_from_db()
    assert not find.locked
    answer_facts(find.pk, by=member, at=now(), answers={"ordnance": "yes"})
    find.refresh_from_db()
    incident.refresh_from_db()
    assert (find.locked, incident.locked, incident.closed_at, incident.taken_over_at) == (
        True,
        True,
        None,
        None,
    )
    assert verbs(incident)[-1] == "said again"


def test_what_the_committee_has_ended_stays_ended_while_nothing_new_is_said(
    hunt: Any, member: User, committee: User
) -> None:
    find, incident = stopped(hunt, member)
    end_cases(find, committee)
    close_incident(incident.pk, by=committee, at=now(), outcome=WHY)
    free_place(incident.pk, by=committee, at=now(), why=WHY)
    change_find(find.pk, by=member, at=now(), materials={}, description="a bolt")
    rescreen(find.pk, by=committee, at=now())
    find.refresh_from_db()
    assert not find.locked
    assert not Incident.objects.open().exists()


def test_the_place_opens_only_when_neither_case_nor_incident_holds_it(
    hunt: Any, member: User, leader: User, committee: User
) -> None:
    hole = make.hole(hunt, member)
    find = record(
        hunt, member, hole=hole, is_coin="no", year_from=1500, year_to=1550,
        facts={"gold": "yes", "human_remains": "yes"},
    )  # fmt: skip
    incident = find.drills.get().incident
    with pytest.raises(HuntError, match="close it first"):
        free_place(incident.pk, by=committee, at=now(), why=WHY)
    end_cases(find, committee)
    find.refresh_from_db()
    assert find.locked  # the incident still holds it
    close_incident(incident.pk, by=leader, at=now(), outcome=WHY)
    with pytest.raises(PermissionDenied):
        free_place(incident.pk, by=leader, at=now(), why=WHY)
    free_place(incident.pk, by=committee, at=now(), why=WHY)
    find.refresh_from_db()
    hole.refresh_from_db()
    assert (find.locked, hole.locked) == (False, False)


def test_a_running_case_holds_the_place_after_the_incident_has_ended(
    hunt: Any, member: User, committee: User
) -> None:
    find = record(
        hunt, member, is_coin="no", year_from=1500, year_to=1550, facts={"gold": "yes", "ordnance": "yes"}
    )
    incident = find.drills.get().incident
    close_incident(incident.pk, by=committee, at=now(), outcome=WHY)
    free_place(incident.pk, by=committee, at=now(), why=WHY)
    find.refresh_from_db()
    assert find.locked


def test_each_step_is_kept_once_with_who_and_when(hunt: Any, member: User, leader: User) -> None:
    _, incident = stopped(hunt, member)
    for _ in range(2):
        do_drill(incident.pk, by=member, at=now())
        take_over(incident.pk, by=leader, at=now())
        lift_stop(incident.pk, by=leader, at=now(), why="Bomb disposal has cleared it.")
        close_incident(incident.pk, by=leader, at=now(), outcome=WHY)
    assert verbs(incident) == ["opened", "done", "taken over", "lifted", "closed"]
    incident.refresh_from_db()
    assert (incident.taken_over_by, incident.closed_by, incident.outcome) == (leader, leader, WHY)
    assert incident.locked


@pytest.mark.parametrize("act", [take_over, lift_stop, close_incident])
def test_only_leader_and_committee_say_how_it_goes_on(
    hunt: Any, member: User, secretary: User, act: Any
) -> None:
    _, incident = stopped(hunt, member)
    words = {lift_stop: {"why": WHY}, close_incident: {"outcome": WHY}}.get(act, {})
    for user in (member, secretary, make.person()):
        with pytest.raises(PermissionDenied):
            act(incident.pk, by=user, at=now(), **words)


def test_nothing_is_lifted_or_closed_without_words(hunt: Any, member: User, leader: User) -> None:
    _, incident = stopped(hunt, member)
    with pytest.raises(HuntError, match="Say why the hunt may go on"):
        lift_stop(incident.pk, by=leader, at=now(), why=" ")
    with pytest.raises(HuntError, match="Say how it ended"):
        close_incident(incident.pk, by=leader, at=now(), outcome=" ")
    with pytest.raises(DatabaseError), transaction.atomic():
        Incident.objects.filter(pk=incident.pk).update(closed_at=now(), closed_by=leader)


def test_the_history_of_an_incident_cannot_be_changed(hunt: Any, member: User) -> None:
    _, incident = stopped(hunt, member)
    event = incident.events.get()
    with pytest.raises(DatabaseError), transaction.atomic():
        super(type(IncidentEvent.objects.all()), IncidentEvent.objects.filter(pk=event.pk)).update(words="x")


def test_no_place_stands_in_the_trail_or_in_the_history(hunt: Any, member: User, leader: User) -> None:
    _find, incident = stopped(hunt, member)
    close_incident(incident.pk, by=leader, at=now(), outcome=WHY)
    said = [f"{entry.label} {entry.changes}" for entry in AuditEntry.objects.all()]
    said += [event.words for event in incident.events.all()] + [incident.words]
    assert not [text for text in said if "53.60" in text or "0.151" in text]
