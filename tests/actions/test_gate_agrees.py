"""The land page, the year calendar, hunt planning and sign-up ask one gate and get one answer."""

from collections.abc import Callable
from datetime import time
from typing import Any

import pytest
from django.utils.timezone import localdate, now

from hunts.actions import open_hunt, start_hunt
from hunts.errors import GateShutError
from hunts.gate import gate_now
from people.models import User
from permissions.gate import Answer
from permissions.gate_facts import answers_for, years_for
from permissions.models import ClosedPeriod, Consent, FieldState, Permission, ProtectedCheck
from tests import make

pytestmark = pytest.mark.django_db


def shut_field(permission: Permission, site: Any) -> None:
    FieldState.objects.create(site=site, on=localdate(), crop="barley", effect="shut", said_by="the farm")


def season(permission: Permission, site: Any) -> None:
    ClosedPeriod.objects.create(
        site=site, reason="shoot", starts=make.days(-1), ends=make.days(1), effect="shut"
    )


def ask_season(permission: Permission, site: Any) -> None:
    ClosedPeriod.objects.create(
        site=site, reason="nesting", starts=make.days(-1), ends=make.days(1), effect="ask"
    )


def withdrawn(permission: Permission, site: Any) -> None:
    Consent.objects.filter(permission=permission).update(withdrawn_on=localdate())


def paused(permission: Permission, site: Any) -> None:
    Permission.objects.filter(pk=permission.pk).update(state="paused")


def ended(permission: Permission, site: Any) -> None:
    Permission.objects.filter(pk=permission.pk).update(ends=make.days(-1))


def stale(permission: Permission, site: Any) -> None:
    ProtectedCheck.objects.filter(site=site).update(checked_on=make.days(-500))


def nothing(permission: Permission, site: Any) -> None:
    """Leave the ground open."""


CASES: list[tuple[Callable[[Permission, Any], None], Answer]] = [
    (nothing, Answer.OPEN),
    (ask_season, Answer.ASK),
    (stale, Answer.ASK),
    (shut_field, Answer.SHUT),
    (season, Answer.SHUT),
    (withdrawn, Answer.SHUT),
    (paused, Answer.SHUT),
    (ended, Answer.SHUT),
]


@pytest.mark.parametrize(
    ("change", "expected"), CASES, ids=lambda value: getattr(value, "__name__", str(value))
)
def test_page_calendar_and_hunt_agree(change: Callable[..., None], expected: Answer, leader: User) -> None:
    site = make.site()
    permission = make.permission(site)
    planned = make.hunt(site, leader=leader, permission_=permission, state="planned")
    opened = make.hunt(site, leader=leader, permission_=permission, state="open", starts_at=time(9))
    change(permission, site)
    today = localdate()
    page = answers_for([site], today)[site.pk].answer
    calendar = years_for([site], today, today)[site.pk][0].answer
    hunt = gate_now(type(planned).objects.get(pk=planned.pk), at=now()).answer
    assert [page, calendar, hunt] == [expected] * 3
    if expected is Answer.SHUT:
        with pytest.raises(GateShutError):
            open_hunt(planned.pk, by=leader, at=now(), asked=True, words="rang")
        with pytest.raises(GateShutError):
            start_hunt(opened.pk, by=leader, at=now())
    else:
        assert open_hunt(planned.pk, by=leader, at=now(), asked=True, words="rang").state == "open"
