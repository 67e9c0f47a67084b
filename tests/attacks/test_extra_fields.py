"""Fields that a form never had: roles, owners, states and keys that somebody adds to what is sent.

Source: OWASP WSTG 4.2, WSTG-INPV-20 (mass assignment), WSTG-ATHZ-03 (privilege escalation).
"""

import re
from typing import Any

import pytest
from django.urls import reverse

from tests.attacks.ground import APPS, Ground, address, make_ground, rows_of, undone, writes
from tests.attacks.test_forged_forms import sender
from tests.views.access import Row

STAFF = {
    "is_staff": "on", "is_superuser": "on", "is_admin": "on", "role": "secretary", "roles": "committee",
    "groups": "1", "user_permissions": "1", "pk": "1", "id": "1", "by": "1", "by_id": "1", "made_by": "1",
    "recorded_by": "1", "owner": "1", "user": "1", "finder_id": "1", "digger": "1", "leader_id": "1",
    "locked": "", "placing": "inside", "number": "F-1", "state": "granted", "at": "2001-01-01T00:00:00Z",
    "made_at": "2001-01-01", "answered_at": "2001-01-01", "password": "x", "last_login": "2001-01-01",
    "joined_at": "2001-01-01", "withdrawn_at": "", "decided_on": "2001-01-01", "step": "1", "via": "x",
}  # fmt: skip


@pytest.fixture(scope="module")
def fresh(standing: Ground, django_db_blocker: Any) -> Ground:
    """A world in which no row of the matrix has made anything yet, so that each form does what it is for."""
    with django_db_blocker.unblock():
        return make_ground(whole=False)


def plain(sql: str) -> str:
    """A statement without what differs from one run to the next: keys, hashes, times, numbers of rows, whole papers."""
    sql = re.sub(r"<[0-9a-f]{32}[.][0-9a-f]+@|/[0-9a-f]{2}/[0-9a-f]{32}", "key", sql)
    sql = re.sub(r"[0-9a-f]{32,64}|[0-9a-f]{8}-(?:[0-9a-f]{4}-){3}[0-9a-f]{12}", "key", sql)
    sql = re.sub(r"\d{4}-\d\d-\d\d[ T]\d\d:\d\d:\d\d(?:\.\d+)?", "time", sql)
    sql = re.sub(r"X'[^']*'|'(?:[^']|''){200,}'", "whole", sql)
    return re.sub(r"[\w+/=-]{40,}(?::[\w-]+)*", "key", re.sub(r"\d+", "0", sql))


def told_by(url: str, data: Any, name: str, ground: Ground) -> tuple[int, list[str]]:
    with undone(), writes() as told:
        answer = ground.client(name).post(url, data)
        answer.close()  # a file among the answers is closed with it
        status = answer.status_code
    return status, [plain(sql) for sql in told]


def hears_more(row: Row, ground: Ground, extra: dict[str, str]) -> bool:
    """Does the same form with fields that it never had write something else?"""
    with undone():
        url, data = address(row, ground.world), row.data(ground.world)
        once = told_by(url, data, sender(row), ground)
        for value in data.values():
            if hasattr(value, "seek"):
                value.seek(0)  # a file is read once
        more: Any = {name: value for name, value in extra.items() if name not in data} | data
        return once != told_by(url, more, sender(row), ground)


# Fields of STAFF that a form does have, under its own rules; tried by name in the tests of that form.
OWN_FIELDS = {"finds:case_decide": {"owner"}}  # a share of a reward
NEVER_TWICE = {"people:sessions_end", "account_logout", "people:sign_out"}  # the second time somebody is out


BY_APP = [pytest.param(app, marks=pytest.mark.long) if app == "reports" else app for app in APPS]


@pytest.mark.parametrize("app", BY_APP)
def test_fields_that_a_form_never_had_change_nothing(app: str, fresh: Ground, db: None) -> None:
    """The same form with and without them tells the database the same."""
    changed = []
    for row in rows_of(app, "post"):
        if row.name in NEVER_TWICE:
            continue
        extra = {k: v for k, v in STAFF.items() if k not in OWN_FIELDS.get(row.name, set())}
        if hears_more(row, fresh, extra):
            changed.append(row.name)
    assert changed == []


ROLE_SWAPS = [
    ("member", "people:me", {"email": "boss@ravensand.example", "role": "secretary", "is_active": "on"}),
    ("member", "people:person_edit", {"name": "Mo", "email": "mo@ravensand.example", "is_active": "on"}),
    ("member", "people:role_give", {"role": "secretary"}),
    ("leader", "people:role_give", {"role": "committee"}),
    ("leader", "people:person_add", {"name": "New", "email": "new@ravensand.example"}),
    ("committee", "people:role_give", {"role": "secretary"}),
    ("lapsed", "people:membership_add", {"starts": "2020-01-01", "ends": "2099-01-01"}),
    ("member", "people:insurance_add", {"insurer": "x", "starts": "2020-01-01", "ends": "2099-01-01"}),
]


def does_not_rise(name: str, page: str, data: dict[str, str], ground: Ground) -> None:
    user = ground.people[name]
    assert user is not None
    before = sorted(user.roles)
    args = [] if page in {"people:me", "people:person_add"} else [user.pk]
    ground.client(name).post(reverse(page, args=args), {"name": user.name, **data})
    after = type(user).objects.get(pk=user.pk)
    assert (sorted(after.roles), after.email) == (before, user.email)


@pytest.mark.parametrize(("name", "page", "data"), ROLE_SWAPS, ids=lambda each: str(each)[:24])
def test_nobody_raises_themselves(name: str, page: str, data: dict[str, str], ground: Ground) -> None:
    does_not_rise(name, page, data, ground)
