"""The list of land, the question to the gate, a site's page and its year."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import localdate

from people.models import User
from permissions.models import Site
from permissions.states import State
from tests import make
from web.paging import A_PAGE

ClientOf = Callable[[User | None], Client]


def page(client: Client, name: str, query: str = "", **kwargs: Any) -> str:
    response = client.get(reverse(f"permissions:{name}", kwargs=kwargs) + query)
    assert response.status_code == 200
    return response.content.decode()


def queries(client: Client, name: str, **kwargs: Any) -> int:
    with CaptureQueriesContext(connection) as captured:
        page(client, name, **kwargs)
    return len(captured)


def open_site(**fields: Any) -> Site:
    site = make.site(**fields)
    make.permission(site)
    return site


def test_the_list_says_open_or_shut_in_words_with_the_first_reason(
    client_of: ClientOf, secretary: User
) -> None:
    open_site(name="Saltmere Forty")
    make.site(name="Warp Close")
    html = page(client_of(secretary), "site_list")
    assert "Saltmere Forty" in html
    assert "No permission covers Warp Close." in html
    assert '"status": "open"' in html
    assert '"status": "shut"' in html


def test_the_list_answers_for_the_day_and_heads_that_were_asked(client_of: ClientOf, secretary: User) -> None:
    site = make.site()
    make.permission(site, max_heads=5, ends=localdate() + timedelta(10))
    client = client_of(secretary)
    html = page(client, "site_list", "?heads=8")
    assert "allow 5 at most; 8 would come" in html
    assert f'name="on" value="{localdate()}"' in html
    assert "ended on" in page(client, "site_list", f"?on={localdate() + timedelta(11)}")


def test_a_day_that_is_no_day_is_said_and_kept(client_of: ClientOf, secretary: User) -> None:
    html = page(client_of(secretary), "site_list", "?on=31/02/2026")
    assert "Enter a valid date" in html
    assert "31/02/2026" in html


def test_members_see_only_fields_of_open_hunts_and_nothing_of_the_agreement(
    client_of: ClientOf, member: User
) -> None:
    owner = make.landholder(name="Ada Warp")
    seen, hidden = open_site(name="Saltmere Forty", owner=owner), open_site(name="Warp Close")
    make.hunt(seen)
    make.hunt(hidden, state="planned")
    client = client_of(member)
    html = page(client, "site_list")
    assert "Saltmere Forty" in html
    assert "Warp Close" not in html
    detail = page(client, "site_detail", pk=seen.pk)
    assert "Ada Warp" not in detail
    assert "P0" not in detail.split("<main")[1].split("map_id")[0].replace(seen.code, "")
    assert client.get(reverse("permissions:site_detail", args=[hidden.pk])).status_code == 404


def test_a_leader_sees_reasons_without_the_landholders_name(client_of: ClientOf, leader: User) -> None:
    site = make.site(owner=make.landholder(name="Ada Warp"))
    make.permission(site, consents=False)
    html = page(client_of(leader), "site_detail", pk=site.pk)
    assert "A landholder, the owner, has not consented" in html
    assert "Ada Warp" not in html


def test_the_secretary_sees_who_has_a_say(client_of: ClientOf, secretary: User) -> None:
    site = open_site(owner=make.landholder(name="Ada Warp"))
    assert "Ada Warp" in page(client_of(secretary), "site_detail", pk=site.pk)


def test_the_question_page_puts_open_fields_first_and_counts_them(client_of: ClientOf, leader: User) -> None:
    make.site(code="AA1", name="Warp Close")
    open_site(code="ZZ9", name="Saltmere Forty")
    html = page(client_of(leader), "gate", "?heads=6")
    listed = html.split('class="cards"', 1)[1]
    assert listed.index("Saltmere Forty") < listed.index("Warp Close")


def test_times_make_the_question_a_visit_that_needs_notice(client_of: ClientOf, leader: User) -> None:
    make.permission(make.site(), notice_hours=48)
    client, day = client_of(leader), localdate() + timedelta(9)
    assert "must be told" not in page(client, "gate", f"?on={day}")
    assert "must be told 48 hours before" in page(client, "gate", f"?on={day}&starts_at=09:00&ends_at=16:00")


def test_a_visit_that_ends_before_it_starts_is_said(client_of: ClientOf, leader: User) -> None:
    html = page(client_of(leader), "gate", "?starts_at=16:00&ends_at=09:00")
    assert "ends at 09:00, not after its start at 16:00" in html


def test_the_year_has_twelve_months_with_a_word_on_every_day(client_of: ClientOf, leader: User) -> None:
    site = make.site()
    make.permission(site, weekdays=[5, 6])
    html = page(client_of(leader), "site_calendar", "?on=2027-01-15", pk=site.pk)
    assert html.count('<table class="calendar">') == 12
    assert html.count("</strong> Shut") + html.count("</strong> Open") + html.count("</strong> Ask") == 365
    assert "allows Saturdays and Sundays only" in html


def test_a_calendar_at_the_ends_of_time_still_answers(client_of: ClientOf, leader: User) -> None:
    site = open_site()
    for day in ("0001-01-01", "9998-12-31", "9999-12-31"):
        page(client_of(leader), "site_calendar", f"?on={day}", pk=site.pk)


@pytest.mark.parametrize("name", ["site_list", "gate", "permission_list", "landholder_list"])
def test_twenty_rows_cost_no_more_queries_than_one(name: str, client_of: ClientOf, secretary: User) -> None:
    make.club()
    open_site()
    client = client_of(secretary)
    page(client, name)
    few = queries(client, name)
    for _ in range(20):
        open_site()
    assert queries(client, name) == few


@pytest.mark.parametrize("name", ["site_detail", "site_calendar"])
def test_a_site_with_a_long_history_costs_no_more_queries(
    name: str, client_of: ClientOf, secretary: User
) -> None:
    site, client = open_site(), client_of(secretary)
    page(client, name, pk=site.pk)
    few = queries(client, name, pk=site.pk)
    for number in range(12):
        make.permission(site, state=State.ENDED)
        site.field_states.create(
            on=localdate() - timedelta(number), crop="wheat", effect="shut", said_by="Ada"
        )
        site.closed_periods.create(reason="shoot", starts=localdate(), ends=localdate())
    assert queries(client, name, pk=site.pk) == few


def test_sites_turn_pages(client_of: ClientOf, secretary: User) -> None:
    owner = make.landholder()
    for _ in range(A_PAGE + 1):
        make.site(owner=owner, by=secretary)
    html = page(client_of(secretary), "site_list", "?heads=3")
    assert "Page 1 of 2" in html
    assert "heads=3&amp;page=2" in html
