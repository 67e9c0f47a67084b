"""A risk assessment: from the list, adapted, agreed, and agreed again after a change."""

from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.timezone import now

from hunts import actions
from hunts.errors import RiskError
from hunts.models import Hunt, RiskAssessment, RiskLine
from people.models import AuditEntry, User
from tests import make, make_kit

LINE = {"hazard": "Old well", "likelihood": 2, "severity": 5, "control": "Roped off", "owner": "Leader"}
LEFT = {"residual_likelihood": 1, "residual_severity": 5}


@pytest.fixture
def hunt(leader: User) -> Hunt:
    return make.hunt(leader=leader, on=make.days(3))


def start(hunt: Hunt, by: User, **changes: Any) -> RiskAssessment:
    values = {"codes": ["ground", "tide"], "review_on": hunt.on, "client_id": uuid4()} | changes
    return actions.start_assessment(hunt.pk, hunt.sites.all()[0], by=by, at=now(), **values)


def test_it_starts_with_the_ticked_hazards_once(hunt: Hunt, leader: User) -> None:
    row = start(hunt, leader)
    assert start(hunt, leader, codes=["lead"]) == row
    assert sorted(row.lines.values_list("code", flat=True)) == ["ground", "tide"]
    assert AuditEntry.objects.filter(verb="risk.start").count() == 1


def test_a_member_assesses_nothing(hunt: Hunt, member: User) -> None:
    with pytest.raises(PermissionDenied):
        start(hunt, member)


def test_what_was_adapted_for_the_site_comes_along(hunt: Hunt, leader: User) -> None:
    site = hunt.sites.all()[0]
    earlier = make_kit.risk(make.hunt(site, leader=leader, on=make.days(-20)), site, leader)
    make_kit.risk_line(earlier, hazard="Old well by the gate")
    row = start(hunt, leader)
    assert row.lines.get(code="ground").hazard == "Ruts"
    assert row.lines.filter(code="").get().hazard == "Old well by the gate"
    assert "Tides" in row.lines.get(code="tide").hazard


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"codes": ["dragons"]}, "“dragons” is not on the list"),
        ({"review_on": make.days(2)}, "is before the hunt"),
    ],
)
def test_what_cannot_be_is_named(hunt: Hunt, leader: User, changes: dict[str, Any], words: str) -> None:
    with pytest.raises(RiskError, match=words):
        start(hunt, leader, **changes)


def test_another_hunts_site_is_refused(hunt: Hunt, leader: User) -> None:
    with pytest.raises(RiskError, match="is not a site of"):
        actions.start_assessment(
            hunt.pk, make.site(), by=leader, at=now(), codes=["lead"], review_on=hunt.on, client_id=uuid4()
        )


def test_a_change_has_to_be_agreed_again(hunt: Hunt, leader: User) -> None:
    row = start(hunt, leader)
    for change in (
        lambda: actions.add_risk(row.pk, by=leader, at=now(), client_id=uuid4(), **LINE, **LEFT),
        lambda: actions.change_risk(row.lines.all()[0].pk, by=leader, at=now(), **LINE, **LEFT),
        lambda: actions.remove_risk(row.lines.all()[0].pk, by=leader, at=now()),
    ):
        assert actions.agree_assessment(row.pk, by=leader, at=now()).walked_by == leader
        change()
        row.refresh_from_db()
        assert row.walked_at is None


def test_a_line_sent_twice_is_one_line(hunt: Hunt, leader: User) -> None:
    row, once = start(hunt, leader), uuid4()
    for _ in range(2):
        actions.add_risk(row.pk, by=leader, at=now(), client_id=once, **LINE, **LEFT)
    assert row.lines.filter(code="").count() == 1


def test_controls_do_not_make_it_worse(hunt: Hunt, leader: User) -> None:
    row = start(hunt, leader)
    worse = {"residual_likelihood": 5, "residual_severity": 5}
    with pytest.raises(RiskError, match=r"What is left \(25\) is more than before anything is done \(10\)"):
        actions.add_risk(row.pk, by=leader, at=now(), client_id=uuid4(), **LINE, **worse)


def test_an_empty_assessment_is_not_agreed(hunt: Hunt, leader: User) -> None:
    row = start(hunt, leader)
    RiskLine.objects.all().delete()
    with pytest.raises(RiskError, match="at least one"):
        actions.agree_assessment(row.pk, by=leader, at=now())


def test_once_the_hunt_is_closed_it_stays(hunt: Hunt, leader: User) -> None:
    row = start(hunt, leader)
    Hunt.objects.update(state="closed")
    for refused in (
        lambda: actions.remove_risk(row.lines.all()[0].pk, by=leader, at=now()),
        lambda: actions.agree_assessment(row.pk, by=leader, at=now()),
    ):
        with pytest.raises(RiskError, match="stays as it was"), transaction.atomic():
            refused()
    assert row.lines.count() == 2
