"""Many visits at once: the same answers as one by one, and no more queries for twenty than for one."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils.timezone import now

from hunts.gate import gate_now
from hunts.gates import gates_now
from hunts.models import Hunt
from people.models import User
from permissions.gate import Answer
from permissions.gate_visits import consents_complete
from permissions.models import Permission, Site
from permissions.models.site import Capacity, Tenure
from tests import make


@pytest.fixture
def site(secretary: User) -> Site:
    make.club()
    return make.site(by=secretary)


def hunts() -> list[Hunt]:
    return list(Hunt.objects.prefetch_related("sites").order_by("pk"))


def test_all_at_once_says_what_each_says_alone(site: Site, leader: User, secretary: User) -> None:
    strict = make.permission(site, notice_hours=72, max_heads=4, weekdays=[5])
    loose = make.permission(make.site(by=secretary, tenure=Tenure.LET))
    make.permission(site, consents=False, state="paused")
    site.closed_periods.create(reason="lambing", starts=make.days(20), ends=make.days(40))
    for day in (0, 3, 9, 25, 200, 400):
        make.hunt(site, permission_=strict, leader=leader, on=make.days(day), state="planned")
        make.hunt(*loose.sites.all(), permission_=loose, leader=leader, on=make.days(day), told_at=now())
    at, rows = now(), hunts()
    together = gates_now(rows, at=at)
    alone = {hunt.pk: gate_now(hunt, at=at) for hunt in rows}
    assert together == alone
    assert {said.answer for said in alone.values()} > {Answer.SHUT}


@pytest.mark.once
def test_twenty_ask_the_database_as_often_as_one(site: Site, leader: User) -> None:
    permission = make.permission(site)
    make.hunt(site, permission_=permission, leader=leader, on=make.days(3))
    gates_now(hunts(), at=now())

    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            gates_now(hunts(), at=now())
        return len(queries)

    one = asked()
    for day in range(4, 23):
        make.hunt(site, permission_=make.permission(site), leader=leader, on=make.days(day))
    assert asked() == one


def test_consents_are_complete_when_everybody_needed_has_said_yes(site: Site) -> None:
    Site.objects.filter(pk=site.pk).update(tenure=Tenure.LET)
    tenant = make.landholder()
    site.parties.create(landholder=tenant, capacity=Capacity.OCCUPIER)
    permission = make.permission(site, consents=False, state="asked")
    owner = site.parties.get(capacity=Capacity.OWNER).landholder

    def complete() -> bool:
        return consents_complete(Permission.objects.get(pk=permission.pk), make.days(0))

    assert not complete()
    make.consent(permission, owner)
    assert not complete()
    make.consent(permission, tenant, capacity=Capacity.OCCUPIER)
    assert complete()
    permission.consents.filter(landholder=owner).update(withdrawn_on=make.days(0))
    assert not complete()


def test_land_without_an_owner_on_record_is_never_complete(site: Site) -> None:
    site.parties.all().delete()
    assert not consents_complete(make.permission(site), make.days(0))
