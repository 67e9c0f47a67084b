"""From each reason of the gate there is a way to the form that answers it, or a word about whose work that is."""

import re

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate

from hunts.gate import Said
from people.models import User
from people.rights import Right
from permissions.gate import ReasonCode
from permissions.gate_ways import FORMS, Way, way_of
from permissions.models import Consent
from tests import make

pytestmark = pytest.mark.django_db

KNOWN = {"site": 7, "permission": 8, "hunt": 9}
RECORDS = {"consent": "consent:11", "person": "person:12"}
NO_FORM = {
    "site_retired", "ground_all_no_go", "closed_period", "vehicles_over", "vehicles_unknown", "dogs", "dogs_unknown",
    "guest", "junior", "too_young", "junior_alone",
}  # fmt: skip


def reason(code: ReasonCode, effect: str = "ask") -> Said:
    return Said(code.value, effect, "Why.", RECORDS.get(FORMS[code].of, "") if code in FORMS else "site:7")


def test_every_reason_has_its_form_or_is_named_as_one_without() -> None:
    assert {code.value for code in ReasonCode} - {code.value for code in FORMS} == NO_FORM


@pytest.mark.parametrize("code", sorted(FORMS))
def test_who_holds_the_right_finds_a_page_and_others_whose_work_it_is(
    code: ReasonCode, secretary: User, committee: User
) -> None:
    way = way_of(reason(code), KNOWN, secretary)
    assert way is not None
    assert re.search(r"/(7|8|9|11|12)/|\?site=7$", way.url), way
    theirs = way_of(reason(code), KNOWN, committee)
    who = "leader / secretary" if FORMS[code].right is Right.PLAN_HUNT else "secretary"
    assert theirs == Way(f"{FORMS[code].words}: that is for the {who}.")


def test_a_note_a_guest_and_a_plan_that_is_not_saved_have_no_way(secretary: User) -> None:
    assert way_of(reason(ReasonCode.FIELD_STATE, "open"), KNOWN, secretary) is None
    assert way_of(Said("insurance", "shut", "", "guest:1f"), KNOWN, secretary) is None
    assert way_of(reason(ReasonCode.NOTICE_DUE), {"site": 7}, secretary) is None


def test_pages_lead_to_the_consent_that_is_missing(client: Client, secretary: User, committee: User) -> None:
    agreed = make.permission(make.site(by=secretary), consents=False)
    site = agreed.sites.get()
    assert not Consent.objects.filter(permission=agreed).exists()
    wanted = reverse("permissions:consent_add", args=[agreed.pk])
    pages = [reverse("permissions:site_detail", args=[site.pk]), reverse("permissions:gate")]
    client.force_login(secretary)
    for page in pages:
        assert f'<a href="{wanted}">Record a consent</a>' in client.get(page).text
    client.force_login(committee)
    for page in pages:
        text = client.get(page).text
        assert wanted not in text
        assert "Record a consent: that is for the secretary." in text


def test_a_hunts_page_leads_to_when_the_landholder_was_told(client: Client, leader: User) -> None:
    agreed = make.permission(make.site(by=leader), notice_hours=48)
    hunt = make.hunt(*agreed.sites.all(), leader=leader, permission=agreed, on=make.days(9), told_at=None)
    client.force_login(leader)
    text = client.get(reverse("hunts:detail", args=[hunt.pk])).text
    assert hunt.on > localdate()
    assert f'<a href="{reverse("hunts:edit", args=[hunt.pk])}">Say when they were told</a>' in text
