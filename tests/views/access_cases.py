"""Who gets what about heritage cases: the committee all; finder and leader of that hunt their own."""

from uuid import uuid4

from django.core.files.base import ContentFile
from django.utils.timezone import localdate, now

from finds.actions import add_case_task, case_reported, move_case, propose_no_duty
from finds.models import CaseReport
from finds.states import CaseState
from people.models import User
from people.rights import Role
from permissions.evidence import Evidence
from tests import make
from tests.views.access import INSIDERS, Row, who

ONLY_COMMITTEE = who("committee", 302) | who("member leader", 403)


def case(world):
    return {"pk": world.case.pk}


def reviewed(world):
    world.case.refresh_from_db()
    if world.case.state == CaseState.FLAGGED:
        move_case(world.case.pk, CaseState.REVIEW, by=world.committee, at=now(), words="looking")
    return case(world)


def reported(world):
    told(world)
    return case(world)


def told(world, **fields):
    said = {"on": localdate(), "reference": "", "words": "", "how": "letter", "to": "the museum"}
    case_reported(world.case.pk, by=world.member, at=now(), **(said | fields))


def copy(world):
    told(world, evidence=Evidence(ContentFile(b"%PDF-1.7 a copy"), "copy.pdf", "told/copy.pdf"))
    return {"pk": CaseReport.objects.latest("pk").pk}


def proposal(world, by: User):
    return propose_no_duty(world.case.pk, by=by, at=now(), words="brass", client_id=uuid4()).pk


def others_proposal(world):
    return {
        "proposal": proposal(world, make.person(Role.COMMITTEE)),
        "agrees": "yes",
    }


def task(world):
    whose = world.member.pk
    made = add_case_task(
        world.case.pk, by=world.committee, at=now(), what="weigh it", whose=whose, due_on=None, client_id=uuid4()
    )  # fmt: skip
    return {"pk": made.pk}


def today(_):
    return {"on": localdate().isoformat(), "how": "letter", "to": "the coroner", "words": "by post"}


ROWS = [
    Row("finds:case_list", who(INSIDERS, 200) | who("stranger", 200)),
    Row("finds:case_detail", who("member leader committee", 200), kwargs=case),
    Row("finds:case_detail", who("member leader committee", 200), kwargs=reviewed),
    Row("finds:case_detail", who("member leader committee", 200), kwargs=reported),
    Row("finds:case_copy", who("committee member", 200) | who("leader", 403), kwargs=copy),
    Row(
        "finds:case_move", ONLY_COMMITTEE, kwargs=case, method="post",
        data=lambda w: {"to": "under review", "words": "looking"},
    ),
    Row(
        "finds:case_report", who("committee member", 302) | who("leader", 403), kwargs=case, method="post", data=today
    ),
    Row("finds:case_acknowledge", ONLY_COMMITTEE, kwargs=reported, method="post", data=today),
    Row(
        "finds:case_decide", ONLY_COMMITTEE, kwargs=reported, method="post",
        data=lambda w: {"decision": "returned", "on": localdate().isoformat(), "words": "by letter"},
    ),
    Row("finds:case_propose", ONLY_COMMITTEE, kwargs=reviewed, method="post", data=lambda w: {"words": "brass"}),
    Row("finds:case_second", ONLY_COMMITTEE, kwargs=reviewed, method="post", data=others_proposal),
    Row(
        "finds:case_take_back", ONLY_COMMITTEE, kwargs=reviewed, method="post",
        data=lambda w: {"proposal": proposal(w, w.committee), "words": "too soon"},
    ),
    Row(
        "finds:case_message", who("committee member", 302) | who("leader", 403), kwargs=case, method="post",
        data=lambda w: {"finder": w.member.pk, "words": "how deep was it?"},
    ),
    Row("finds:case_note", ONLY_COMMITTEE, kwargs=case, method="post", data=lambda w: {"words": "a note"}),
    Row(
        "finds:case_task", ONLY_COMMITTEE, kwargs=case, method="post",
        data=lambda w: {"what": "weigh it", "whose": w.member.pk},
    ),
    Row("finds:case_task_done", who("committee member", 302), kwargs=task, method="post"),
    Row(
        "finds:case_stage", ONLY_COMMITTEE, kwargs=reported, method="post",
        data=lambda w: {"stage": "ta-handed-in", "on": localdate().isoformat()},
    ),
]  # fmt: skip
