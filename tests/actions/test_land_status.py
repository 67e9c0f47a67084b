"""Who holds the land is a fact of the site, where the law tells lands apart: screening, gate and form read it there."""

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate, now

from finds.actions.screening import screen_find
from finds.screening_page import fact_lines, screening_context
from law.pack import pack_codes
from people.models import User
from permissions.gate import Answer
from permissions.gate_facts import answers_for
from permissions.models import Site
from permissions.place import tells_lands_apart
from tests import make

pytestmark = pytest.mark.django_db
OF_THE_UNION = {"us-federal", "us-florida", "us-washington"}


def test_only_packs_of_the_union_ask_who_holds_the_land() -> None:
    assert {code for code in pack_codes() if tells_lands_apart(code)} == OF_THE_UNION
    assert not tells_lands_apart("elsewhere")


def bottle(site: Site, member: User, **facts: Any) -> Any:
    hunt = make.hunt(site, state="running", starts_at="00:01", ends_at="23:59")
    make.attendance(hunt, member)
    find = make.find(
        hunt, member, is_coin="no", year_from=1850, year_to=1860, facts={"worked": "yes"} | facts
    )
    row = screen_find(find, by=member, at=now())
    assert row is not None
    return row


def rules(row: Any) -> set[str]:
    return {duty["rule"] for duty in row.result["duties"] if duty["weight"] == "test"}


def test_screening_reads_it_from_the_site_and_says_so(member: User) -> None:
    """36 CFR 261.9: old things of a national forest; on private land none of those rules bites (facts/law-other.md)."""
    make.club()
    forest = bottle(make.site(jurisdiction="us-federal", land_status="national_forest"), member)
    private = bottle(make.site(jurisdiction="us-federal", land_status="private"), member)
    assert forest.facts["land_status"] == "national_forest"
    [line] = fact_lines(["land_status"], forest)
    assert (line.words, line.origin) == ("Who holds the land: national forest", "site")
    assert "land_status" in {name for duty in forest.result["duties"] for name in duty["facts"]}
    assert "land_status" not in {unknown["fact"] for unknown in forest.result["unknowns"]}
    assert rules(forest) - rules(private)
    assert not rules(private) - rules(forest)


def test_an_answer_for_one_find_goes_before_the_site(member: User) -> None:
    make.club()
    site = make.site(jurisdiction="us-federal", land_status="private")
    row = bottle(site, member, land_status="national_forest")
    [line] = fact_lines(["land_status"], row)
    assert (row.facts["land_status"], line.origin) == ("national_forest", "answer to the law's questions")


@pytest.mark.parametrize(("status", "shut"), [("national_park", True), ("tribal", True), ("private", False)])
def test_the_gate_reads_it(status: str, shut: bool) -> None:
    """36 CFR 2.1(a)(7) forbids a detector in a national park; 16 USC 470ee(a) digging on tribal land."""
    site = make.site(jurisdiction="us-federal", land_status=status)
    make.permission(site)
    reasons = answers_for([site], localdate())[site.pk].reasons
    barred = {r.record for r in reasons if r.effect is Answer.SHUT and r.record.startswith("law:us-federal:")}
    assert bool(barred) == shut


def test_the_form_asks_only_where_the_law_does(secretary: User, client_of: Callable[[User], Client]) -> None:
    make.club()
    client, here = client_of(secretary), make.site()
    there = make.site(jurisdiction="us-washington")
    edit = {site: reverse("permissions:site_edit", args=[site.pk]) for site in (here, there)}
    assert "Who holds the land" not in client.get(edit[here]).text
    page = client.get(edit[there])
    assert "Who holds the land" in page.text
    data = {k: "" if v is None else v for k, v in page.context["form"].initial.items()}
    client.post(edit[there], data | {"land_status": "state"})
    there.refresh_from_db()
    assert there.land_status == "state"
    shown = client.get(reverse("permissions:site_detail", args=[there.pk])).text
    assert "<dt>Who holds the land</dt><dd>State land</dd>" in shown
    refused = client.post(edit[there], data | {"land_status": "moon"}).text
    assert "moon is not one of the available choices" in refused


def test_a_fact_that_is_a_moment_is_said_as_the_club_writes_days(member: User) -> None:
    make.club()
    row = bottle(make.site(), member)
    row.facts |= {"found_at": "2026-11-09T12:00:00+00:00"}
    [line] = fact_lines(["found_at"], row)
    assert line.words == "Found at: Mon 9 Nov 2026, 12:00"
    said = [pack.checked_on for pack in screening_context(row)["packs"]]
    assert said
    assert not [words for words in said if words[:2] == "20"]
