"""Who gets what of heritage reports' packages, sendings and answers, and of visits to the officer."""

from typing import Any
from uuid import uuid4

from django.utils.timezone import localdate, localtime, now

from finds.models import CustodyEntry
from reports.actions import plan_officer_visit, report_sent
from reports.models import OfficerVisit, ReportSending
from tests.views.access import Row, who

COMMITTEE = who("committee", 200)
KEEPERS = who("secretary committee", 200)
KEPT = who("secretary committee", 302)


def case(world: Any) -> dict[str, Any]:
    return {"pk": world.case.pk}


def heritage(world: Any) -> dict[str, Any]:
    return {"pk": world.heritage.pk}


def sending(world: Any) -> dict[str, Any]:
    """A sending of the world's heritage report, made when a row asks for it."""
    moment = now()
    row = ReportSending.objects.filter(report=world.heritage).first() or report_sent(
        world.heritage.pk,
        by=world.committee,
        at=moment,
        client_id=uuid4(),
        sent_at=moment,
        to_name="Ida Drift",
        how="hand",
        what="pdf",
    )
    return {"pk": row.pk}


def visit(world: Any) -> dict[str, Any]:
    """A planned visit with the world's locked find."""
    row = OfficerVisit.objects.first() or plan_officer_visit(
        [world.locked.pk],
        by=world.committee,
        at=now(),
        client_id=uuid4(),
        on=localdate(),
        to_name="Ida Drift",
        to_holder="officer",
        taken_by="Cora Boulder",
        purpose="Recording",
    )
    return {"pk": row.pk}


def sent(world: Any) -> dict[str, Any]:
    return {
        "sent_at": f"{localtime(now()):%Y-%m-%dT%H:%M}",
        "to_name": "Ida Drift",
        "how": "hand",
        "what": "both",
    }


def plan(world: Any) -> dict[str, Any]:
    assert CustodyEntry.objects.filter(find=world.others_locked).exists()
    return {
        "finds": [str(world.others_locked.pk)],
        "on": localdate().isoformat(),
        "to_name": "Ida Drift",
        "to_holder": "officer",
        "taken_by": "Cora Boulder",
        "purpose": "Recording",
    }


ROWS = [
    Row("reports:heritage_differences", COMMITTEE, kwargs=case, otherwise=403),
    Row("reports:issued_package", COMMITTEE, kwargs=heritage),
    Row("reports:report_send", COMMITTEE, kwargs=heritage),
    Row("reports:report_send", who("committee", 302), kwargs=heritage, method="post", data=sent),
    Row("reports:sending_acknowledge", COMMITTEE, kwargs=sending),
    Row(
        "reports:sending_acknowledge",
        who("committee", 302),
        kwargs=sending,
        method="post",
        data=lambda w: {"on": localdate().isoformat(), "who": "Ida Drift"},
    ),
    Row("reports:officer_visits", KEEPERS, otherwise=403),
    Row("reports:officer_visit_plan", KEEPERS, otherwise=403),
    Row("reports:officer_visit_plan", KEPT, method="post", data=plan, otherwise=403),
    Row("reports:officer_visit", KEEPERS, kwargs=visit, otherwise=403),
    Row("reports:officer_visit_papers", KEEPERS, kwargs=visit, otherwise=403),
    Row(
        "reports:officer_visit_went",
        KEPT,
        kwargs=visit,
        method="post",
        data=lambda w: {"evidence": "receipt signed"},
        otherwise=403,
    ),
    Row(
        "reports:officer_visit_off",
        KEPT,
        kwargs=visit,
        method="post",
        data=lambda w: {"why": "snow"},
        otherwise=403,
    ),
]
