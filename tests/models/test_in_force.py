"""The queryset's spelling of "in force" and the pure function agree on the days around each edge."""

from datetime import date, timedelta

import pytest

from permissions.facts_of import consent_facts, permission_facts
from permissions.gate import consent_in_force, is_in_force
from permissions.models import Consent, Permission
from permissions.states import State
from tests import make

DAY = date(2026, 6, 1)
EDGES = [
    {},
    {"starts": DAY},
    {"ends": DAY},
    {"starts": DAY, "ends": DAY},
    {"starts": None, "ends": None},
    {"state": State.PAUSED},
    {"state": State.ASKED},
    {"state": State.ENDED},
]
CONSENTS = [
    {},
    {"given_on": DAY},
    {"given_on": None},
    {"starts": DAY},
    {"ends": DAY},
    {"starts": None, "ends": None},
    {"withdrawn_on": DAY},
    {"given_on": DAY, "starts": DAY + timedelta(1), "withdrawn_on": DAY + timedelta(2)},
]


@pytest.mark.django_db
@pytest.mark.parametrize("edge", EDGES, ids=str)
@pytest.mark.parametrize("given", CONSENTS, ids=str)
def test_query_and_pure_function_agree_around_each_edge(edge: dict, given: dict) -> None:
    year = {"starts": date(2026, 1, 1), "ends": date(2026, 12, 31)}
    permission = make.permission(make.site(), consents=False, **(year | edge))
    consent = make.consent(permission, make.landholder(), **(year | {"given_on": date(2026, 1, 1)} | given))
    facts = permission_facts(permission, currency="GBP")
    for days in range(-2, 4):
        day = DAY + timedelta(days)
        assert Permission.objects.in_force(day).exists() == is_in_force(facts, day), day
        assert Consent.objects.in_force(day).exists() == consent_in_force(consent_facts(consent), day), day


@pytest.mark.django_db
def test_without_any_consent_nothing_is_in_force() -> None:
    permission = make.permission(make.site(), consents=False)
    assert not Permission.objects.in_force(make.days(0)).exists()
    assert not is_in_force(permission_facts(permission, currency="GBP"), make.days(0))
