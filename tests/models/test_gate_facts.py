"""What the database tells the gate: licences, overlaps, no-go ground, distance, people, and constant queries."""

from datetime import time, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils.timezone import localdate, now

from law.pack import pack_codes
from people.models import Insurance, User
from permissions.gate import Answer, ReasonCode
from permissions.gate_facts import answers_for, years_for
from permissions.models import Licence, Permission, Site, SiteOverlap
from permissions.models.site import COUNTRIES
from permissions.states import State
from tests import make

pytestmark = pytest.mark.django_db


def codes(site: Site, **asked: object) -> list[ReasonCode]:
    return [r.code for r in answers_for([site], localdate(), **asked)[site.pk].reasons]


def test_a_field_with_everything_in_order_is_open_and_says_nothing() -> None:
    site = make.site()
    make.permission(site)
    decision = answers_for([site], localdate())[site.pk]
    assert (decision.answer, decision.reasons) == (Answer.OPEN, ())


def test_a_field_nobody_gave_leave_for_is_shut() -> None:
    assert codes(make.site())[0] is ReasonCode.PERMISSION_NONE


@pytest.mark.parametrize(
    ("jurisdiction", "licences"),
    [
        # Historic Monuments and Archaeological Objects (NI) Order 1995 art 41
        ("northern-ireland", ["article-41"]),
        # National Monuments (Amendment) Act 1987 s.2 and National Monuments Act 1930 s.26
        ("ireland", ["ie-detection", "ie-excavation"]),
    ],
)
def test_where_the_law_asks_for_a_licence_the_gate_is_shut_until_one_is_recorded(
    jurisdiction: str, licences: list[str]
) -> None:
    site = make.site(jurisdiction=jurisdiction)
    make.permission(site)
    assert ReasonCode.LICENCE_MISSING in codes(site)
    for code in licences:
        licence = Licence.objects.create(
            code=code, number="17", authority="the Department", starts=localdate(), ends=localdate()
        )
        licence.sites.add(site)
    assert codes(site) == []
    tomorrow = localdate() + timedelta(1)
    assert answers_for([site], tomorrow)[site.pk].answer is Answer.SHUT


def test_law_that_is_not_known_asks() -> None:
    site = make.site(jurisdiction="other")
    make.permission(site)
    assert codes(site) == [ReasonCode.JURISDICTION_UNKNOWN]


def test_a_protected_place_shuts_the_field_and_its_consent_makes_it_ask() -> None:
    site = make.site()
    make.permission(site)
    site.protected_checks.create(
        checked_on=localdate(),
        checked_by=make.person(),
        result="touches",
        place="Warp Hill camp",
        source="list",
    )
    assert answers_for([site], localdate())[site.pk].answer is Answer.SHUT
    # Ancient Monuments and Archaeological Areas Act 1979 s.42: written consent of the heritage body.
    licence = Licence.objects.create(
        code="section-42", number="9", authority="heritage body", starts=localdate(), ends=localdate()
    )
    licence.sites.add(site)
    assert answers_for([site], localdate())[site.pk].answer is Answer.ASK


def test_ground_all_no_go_is_shut() -> None:
    site = make.site(no_go_share=1)
    make.permission(site)
    assert codes(site) == [ReasonCode.GROUND_ALL_NO_GO]


def test_a_boundary_300_km_from_the_club_asks() -> None:
    make.club(base_lon=0.15, base_lat=50.8)
    site = make.site()
    make.permission(site)
    assert codes(site) == [ReasonCode.FAR_FROM_CLUB]


def test_a_pause_over_the_same_ground_shuts_both_by_name() -> None:
    site, other = make.site(), make.site()
    make.permission(site)
    paused = make.permission(other, state=State.PAUSED)
    SiteOverlap.objects.create(site=site, other=other, shared_m2=4200)
    reason = answers_for([site], localdate())[site.pk].reasons[0]
    assert reason.code is ReasonCode.OVERLAP_PAUSED
    assert paused.reference in reason.words
    assert "0.42 ha" in reason.words


def test_two_permissions_over_one_field_are_both_named_and_the_stricter_decides() -> None:
    site = make.site()
    first, second = make.permission(site, max_heads=20), make.permission(site, max_heads=4)
    decision = answers_for([site], localdate(), heads=6)[site.pk]
    assert decision.answer is Answer.SHUT
    words = " ".join(r.words for r in decision.reasons)
    assert first.reference in words
    assert second.reference in words


def test_an_old_refusal_is_forgotten_once_leave_was_given() -> None:
    site = make.site()
    make.permission(site, state=State.REFUSED)
    make.permission(site)
    assert codes(site) == []


def test_one_permission_asked_about_does_not_borrow_anothers_leave() -> None:
    site, elsewhere = make.site(), make.site()
    make.permission(site)
    other = make.permission(elsewhere)
    assert ReasonCode.PERMISSION_OTHER_SITE in codes(site, permission=other)


def test_a_person_without_insurance_is_named_on_a_planned_visit() -> None:
    site = make.site()
    make.permission(site)
    person = make.person(name="Mo Samphire", insured=False)
    decision = answers_for([site], localdate(), people=[person], decided_at=now())[site.pk]
    assert {reason.record for reason in decision.bars} == {f"person:{person.pk}"}
    Insurance.objects.create(user=person, starts=localdate(), ends=localdate(), insurer="Humber Mutual")
    assert codes(site, people=[person]) == []


def test_only_the_named_may_come() -> None:
    site, named, other = make.site(), make.person(), make.person()
    permission = make.permission(site, named_only=True)
    permission.named_people.add(named)
    assert codes(site, people=[named]) == []
    assert codes(site, people=[named, other]) == [ReasonCode.NOT_NAMED]


def test_notice_is_due_until_the_landholders_were_told_in_time() -> None:
    site, day = make.site(), localdate() + timedelta(10)
    make.permission(site, notice_hours=48)
    visit = {"starts_at": time(9), "ends_at": time(16), "decided_at": now()}
    assert [r.code for r in answers_for([site], day, **visit)[site.pk].reasons] == [ReasonCode.NOTICE_DUE]
    assert answers_for([site], day, told_at=now(), **visit)[site.pk].reasons == ()


def test_without_leave_to_see_names_the_reasons_hold_none() -> None:
    owner = make.landholder(name="Ada Warp")
    site = make.site(owner=owner)
    make.permission(site, consents=False)
    hidden = answers_for([site], localdate())[site.pk]
    shown = answers_for([site], localdate(), names=True)[site.pk]
    assert not any("Ada" in r.words for r in hidden.reasons)
    assert any("Ada Warp" in r.words for r in shown.reasons)


def test_the_year_says_day_by_day_what_the_single_day_says() -> None:
    site = make.site()
    make.permission(site, weekdays=[5, 6], ends=localdate() + timedelta(40))
    make.permission(site, starts=localdate() + timedelta(30), ends=None)
    first = localdate() - timedelta(5)
    year = years_for([site], first, first + timedelta(80))[site.pk]
    assert len(year) == 81
    for decision in year[::4]:
        single = answers_for([site], decision.on)[site.pk]
        assert (decision.answer, {r.code for r in decision.bars}) == (
            single.answer,
            {r.code for r in single.bars},
        )


def _queries(sites: list[Site], people: list[User]) -> int:
    with CaptureQueriesContext(
        connection,
    ) as captured:
        answers_for(sites, localdate(), people=people)
    return len(captured)


@pytest.mark.once
def test_twenty_sites_and_people_cost_no_more_queries_than_one() -> None:
    sites = [make.site() for _ in range(20)]
    for site in sites:
        make.permission(site)
        SiteOverlap.objects.create(site=site, other=sites[sites.index(site) - 1], shared_m2=1)
    people = [make.person() for _ in range(20)]
    assert _queries(sites[:1], people[:1]) == _queries(sites, people)
    assert Permission.objects.count() == 20


def test_every_place_whose_law_is_known_has_its_country() -> None:
    assert set(pack_codes()) <= set(COUNTRIES)
