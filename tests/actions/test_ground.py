"""What the ground says: recorded once, taken off with a line in the trail, and the gate goes by it at once."""

from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import localdate, now

from people.models import AuditEntry, User
from permissions import actions
from permissions.gate import Answer
from permissions.gate_facts import answers_for
from permissions.models import ClosedPeriod, FieldState, Licence, ProtectedCheck, Site
from tests import make


@pytest.fixture
def site(secretary: User) -> Site:
    site = make.site(by=secretary)
    make.permission(site)
    return site


def answer(site: Site) -> Answer:
    return answers_for([site], localdate())[site.pk].answer


def test_a_crop_reported_shuts_the_field_and_taking_the_entry_off_opens_it(
    secretary: User, site: Site
) -> None:
    key = uuid4()
    for _ in range(2):
        state = actions.add_field_state(
            site,
            by=secretary,
            at=now(),
            client_id=key,
            on=localdate(),
            crop="rape",
            effect="shut",
            said_by="Ada",
        )
    assert answer(site) is Answer.SHUT
    assert FieldState.objects.filter(crop="rape").count() == 1
    actions.remove_field_state(state.pk, by=secretary, at=now())
    assert answer(site) is Answer.OPEN
    assert AuditEntry.objects.get(verb="field_state.remove").changes["what"] == "rape"


def test_a_closed_period_shuts_and_reopens(secretary: User, site: Site) -> None:
    today = localdate()
    period = actions.add_closed_period(
        site,
        by=secretary,
        at=now(),
        client_id=uuid4(),
        reason="shoot",
        starts=today,
        ends=today,
        effect="shut",
    )
    assert answer(site) is Answer.SHUT
    actions.remove_closed_period(period.pk, by=secretary, at=now())
    assert answer(site) is Answer.OPEN
    assert not ClosedPeriod.objects.exists()


def test_a_licence_taken_off_shuts_again_where_the_law_asks_for_one(secretary: User, site: Site) -> None:
    Site.objects.filter(pk=site.pk).update(jurisdiction="northern-ireland")
    today = localdate()
    licence = actions.add_licence(
        by=secretary, at=now(), sites=[site], client_id=uuid4(), code="article-41", number="17",
        authority="the Department", starts=today, ends=today,
    )  # fmt: skip
    assert answer(site) is Answer.OPEN
    actions.remove_licence(licence.pk, by=secretary, at=now())
    assert answer(site) is Answer.SHUT
    assert not Licence.objects.exists()


def test_the_latest_check_of_protected_places_counts(secretary: User, site: Site) -> None:
    for result, expected in (("touches", Answer.SHUT), ("buffer", Answer.ASK), ("clear", Answer.OPEN)):
        actions.add_protected_check(
            site,
            by=secretary,
            at=now(),
            client_id=uuid4(),
            checked_on=localdate(),
            result=result,
            source="map",
        )
        assert answer(site) is expected
    assert ProtectedCheck.objects.filter(checked_by=secretary, checked_on=localdate()).count() == 3


@pytest.mark.parametrize("name", ["add_field_state", "add_closed_period", "add_protected_check"])
def test_a_leader_may_not_change_the_ground(name: str, leader: User, site: Site) -> None:
    with pytest.raises(PermissionDenied):
        getattr(actions, name)(site, by=leader, at=now(), client_id=uuid4())
