"""A sheet is made under the terms of the day of the hunt, also when they were changed afterwards."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils.timezone import localdate, now

from people.models import User
from permissions.actions import change_permission
from permissions.models import Permission
from permissions.terms import Per, Sharing, Threshold, Whole
from permissions.terms_then import sharing_on
from tests import make


@pytest.fixture
def permission(secretary: User) -> Permission:
    return make.permission(make.site(by=secretary), share_threshold=Decimal(500))


def change(permission: Permission, by: User, *, days_ago: int, **fields: object) -> None:
    sites = list(permission.sites.all())
    change_permission(permission.pk, by=by, at=now() - timedelta(days_ago), sites=sites, **fields)
    permission.refresh_from_db()


def test_terms_never_changed_are_todays(permission: Permission) -> None:
    then, changed = sharing_on(permission, localdate())
    assert (then.threshold, then.wording, then.rule, then.per, changed) == (
        Decimal(500), Threshold.OVER, Whole.WHOLE_VALUE, Per.OBJECT, False,
    )  # fmt: skip


def test_each_day_has_the_terms_of_its_own(permission: Permission, secretary: User) -> None:
    change(permission, secretary, days_ago=20, share_threshold=Decimal(300), organiser_percent=Decimal(10))
    change(permission, secretary, days_ago=10, share_threshold=Decimal(200), share_rule="excess")
    change(permission, secretary, days_ago=5, title="Another title")

    def on(days: int) -> Sharing:
        return sharing_on(permission, localdate() - timedelta(days))[0]

    assert [on(d).threshold for d in (30, 15, 5, 0)] == [500, 300, 200, 200]
    assert [on(d).organiser_percent for d in (30, 15)] == [0, 10]
    assert [on(d).rule for d in (15, 5)] == [Whole.WHOLE_VALUE, Whole.EXCESS_ONLY]
    assert sharing_on(permission, localdate() - timedelta(30))[1] is True
    assert sharing_on(permission, localdate() - timedelta(5))[1] is False


def test_the_day_of_a_change_has_the_new_terms(permission: Permission, secretary: User) -> None:
    change(permission, secretary, days_ago=3, share_wording="at_least")
    assert sharing_on(permission, localdate() - timedelta(3))[0].wording is Threshold.AT_LEAST
    assert sharing_on(permission, localdate() - timedelta(4))[0].wording is Threshold.OVER
