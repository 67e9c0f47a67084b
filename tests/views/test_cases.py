"""The board and a case as their readers see them, and Today."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate, now

from finds.actions import (
    add_case_task,
    add_note,
    case_reported,
    decide_case,
    hand_over,
    propose_no_duty,
    reach_stage,
    send_case_message,
)
from finds.models import Case
from finds.states import CaseState
from people.models import User
from people.rights import Role
from reports.today import today_for
from tests import make, make_cases

pytestmark = pytest.mark.django_db


@pytest.fixture
def case(member: User, leader: User) -> Case:
    make.club()
    hunt = make.hunt(leader=leader, state="running", starts_at="00:01", ends_at="23:59")
    make.attendance(hunt, member)
    return make_cases.case(hunt, member, state=CaseState.REVIEW, found_at=now() - timedelta(days=50))


def page(user: User, case: Case) -> str:
    client = Client()
    client.force_login(user)
    return client.get(reverse("finds:case_detail", args=[case.pk])).content.decode()


def titles(user: User) -> dict[str, list[Any]]:
    return {group.title: group.items for group in today_for(user, at=now())}


def test_finder_and_leader_read_how_it_stands_and_not_what_the_committee_writes(
    case: Case, member: User, leader: User, committee: User
) -> None:
    propose_no_duty(case.pk, by=committee, at=now(), words="brass under gilding", client_id=uuid4())
    add_note(case, by=committee, at=now(), words="ask the other club")
    send_case_message(
        case.pk, by=committee, at=now(), finder=member.pk, words="how deep?", asks=True, client_id=uuid4()
    )
    seen = {who: page(who, case) for who in (member, leader, committee)}
    for text in ("brass under gilding", "ask the other club"):
        assert [text in seen[who] for who in (member, leader, committee)] == [False, False, True]
    assert ["how deep?" in seen[who] for who in (member, leader, committee)] == [True, False, True]
    assert all("How it stands" in text for text in seen.values())


def test_a_form_that_is_not_taken_keeps_what_was_typed(case: Case, committee: User) -> None:
    client = Client()
    client.force_login(committee)
    said = {"on": "2100-01-01", "how": "letter", "to": "the coroner of Saltmere", "words": "sent by post"}
    answer = client.post(reverse("finds:case_report", args=[case.pk]), said)
    text = answer.content.decode()
    assert answer.status_code == 200
    assert "1 Jan 2100 has not come yet" in text
    assert "the coroner of Saltmere" in text
    assert "sent by post" in text
    assert Case.objects.get(pk=case.pk).state == CaseState.REVIEW


def test_the_board_puts_what_is_late_first_and_filters(case: Case, member: User, committee: User) -> None:
    later = make_cases.case(case.finds.get().hunt, member)
    client = Client()
    client.force_login(committee)
    shown = client.get(reverse("finds:case_list")).context["groups"]
    assert [(group.title, [row.look.case for row in group.rows]) for group in shown] == [
        ("Late", [case]),
        ("To look at", [later]),
    ]
    for query, wanted in (
        (f"stage={later.state}", [later]),
        ("place=england", [case, later]),
        ("whose=mine", []),
        ("whose=led", []),
    ):
        groups = client.get(reverse("finds:case_list") + "?" + query).context["groups"]
        assert [row.look.case for group in groups for row in group.rows] == wanted, query


def test_today_tells_each_person_what_is_theirs(case: Case, member: User, committee: User) -> None:
    other = make.person(Role.COMMITTEE)
    propose_no_duty(case.pk, by=committee, at=now(), words="brass", client_id=uuid4())
    due = localdate() - timedelta(1)
    add_case_task(
        case.pk, by=committee, at=now(), what="weigh it", whose=member.pk, due_on=due, client_id=uuid4()
    )
    send_case_message(
        case.pk, by=committee, at=now(), finder=member.pk, words="?", asks=True, client_id=uuid4()
    )
    theirs = titles(member)
    assert [item.status for item in theirs["My tasks about cases"]] == ["late"]
    assert len(theirs["Messages about cases"]) == 1
    assert "“No duty” to sign second" not in titles(committee)
    assert len(titles(other)["“No duty” to sign second"]) == 1
    assert "Messages about cases" not in titles(other)


def test_late_stages_and_the_way_home_stand_on_the_committees_today(
    case: Case, member: User, committee: User
) -> None:
    day = localdate() - timedelta(40)
    case_reported(case.pk, by=member, at=now(), on=day, reference="", words="")
    reach_stage(case.pk, by=committee, at=now(), stage="ta-museums-told", on=day, words="", client_id=uuid4())
    [item] = titles(committee)["Official limits after a report"]
    assert (item.status, item.due) == ("late", day + timedelta(28))
    assert "12 days late" in item.words
    assert "Official limits after a report" not in titles(member)
    move = {"by": committee, "at": now(), "to_name": "Ida Drift", "purpose": "x"}
    hand_over(case.finds.get().pk, after_step=1, to_holder="officer", **move)
    decide_case(case.pk, by=committee, at=now(), decision="returned", words="by letter")
    assert len(titles(committee)["On the way home"]) == 1
    hand_over(case.finds.get().pk, after_step=2, to_holder="finder", **move)
    assert "On the way home" not in titles(committee)
