"""Days stand on pages as the club has set; `datetime.date.isoformat` (ISO 8601) is what one form is held against."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import formats, translation
from django.utils.timezone import localdate, now

from finds.sheets import sum_in_words
from hunts.actions.plan import keep_gate
from hunts.gate import gate_now
from hunts.mail import tell
from hunts.models import Hunt
from people.models import Club, Letter, User
from permissions.terms.plain import long_date
from tests import make
from web.days import FORMS, choices, days_as_set, form_of_days, months_named, write_days

pytestmark = pytest.mark.django_db


def settings_with(**changes: str) -> dict[str, str]:
    club = {"name": "Ravensand", "jurisdiction": "england", "units": "both", "currency": "GBP"}
    return club | {"find_prefix": "F", "address": "", "emergency_department": "", "language": ""} | changes


def test_a_page_writes_days_as_the_club_has_set(client: Client, secretary: User) -> None:
    hunt = make.hunt(leader=secretary, on=localdate() + timedelta(3))
    client.force_login(secretary)
    detail, settings = reverse("hunts:detail", args=[hunt.pk]), reverse("people:club_settings")
    assert f"{hunt.on:%a} {hunt.on.day} {hunt.on:%b %Y}" in client.get(detail).text
    assert client.post(settings, settings_with(date_format="Y-m-d")).status_code == 302
    assert hunt.on.isoformat() in client.get(detail).text
    assert client.post(settings, settings_with()).status_code == 302  # a form that does not ask keeps it
    assert Club.objects.get().date_format == "Y-m-d"


def test_no_other_form_is_taken_and_none_can_be_read_as_another_day(client: Client, secretary: User) -> None:
    client.force_login(secretary)
    page = client.post(reverse("people:club_settings"), settings_with(date_format="m/d/Y"))
    assert "m/d/Y" in page.text
    assert page.status_code == 200
    assert [form for form in FORMS if form.startswith(("m", "n"))] == []
    assert ("Y-m-d", "2026-12-26") in choices()


def test_letters_name_the_month_whatever_page_was_drawn_before(member: User, leader: User) -> None:
    hunt = make.hunt(leader=leader, on=localdate() + timedelta(3))
    write_days("d/m/Y")
    tell([member], "promoted", hunt, by=leader.name)
    letter = Letter.objects.latest("pk")
    words = letter.subject + letter.text
    assert f"{hunt.on:%b %Y}" in words
    assert f"{hunt.on:%d/%m/%Y}" not in words
    with months_named():
        assert form_of_days() == FORMS[0]
    assert form_of_days() == "d/m/Y"


@pytest.mark.parametrize(
    ("form", "words"),
    [
        ("Y-m-d", "ended on 2026-11-22, not 31 June 2026; 1 hole in 2026."),
        ("d.m.Y", "ended on 22.11.2026, not 31 June 2026; 1 hole in 2026."),
        ("j F Y", "ended on 22 November 2026, not 31 June 2026; 1 hole in 2026."),
    ],
)
def test_days_in_a_sentence_follow_where_the_form_has_no_name_of_the_month(form: str, words: str) -> None:
    write_days(form)
    assert days_as_set("ended on 22 November 2026, not 31 June 2026; 1 hole in 2026.") == words


def test_a_dutch_sentence_and_an_english_one_that_was_kept_follow_alike() -> None:
    write_days("d-m-Y")
    with translation.override("nl"):
        assert days_as_set(f"tot {long_date(date(2026, 3, 1))}") == "tot 01-03-2026"
        assert days_as_set("until 1 March 2026") == "until 01-03-2026"


def test_reasons_of_the_gate_follow_on_pages_and_are_kept_with_the_month_named(
    client: Client, secretary: User
) -> None:
    ended = localdate() - timedelta(3)
    site = make.site()
    permission = make.permission(site, ends=ended)
    hunt = make.hunt(
        site, permission_=permission, leader=secretary, on=localdate() + timedelta(3), state="planned"
    )
    keep_gate(hunt, gate_now(hunt, at=now()), at=now())
    hunt.save()
    make.club(date_format="Y-m-d")
    client.force_login(secretary)
    for page in (reverse("hunts:detail", args=[hunt.pk]), reverse("permissions:site_detail", args=[site.pk]),
                 reverse("permissions:site_calendar", args=[site.pk])):  # fmt: skip
        text = client.get(page).text
        assert f"ended on {ended.isoformat()}." in text
        assert f"ended on {long_date(ended)}" not in text
    assert f"ended on {long_date(ended)}." in str(Hunt.objects.get(pk=hunt.pk).gate_answer)


@pytest.mark.parametrize(("language", "said"), [("en-gb", "5 Dec 2026"), ("nl", "5 dec 2026")])
def test_a_short_month_has_a_capital_in_english_alone(language: str, said: str) -> None:
    """Names of months take no capital in Dutch (the rules of the Woordenlijst Nederlandse Taal, from memory)."""
    with translation.override(language):
        assert formats.date_format(date(2026, 12, 5), "j M Y") == said


def test_a_sum_has_the_marks_of_the_language() -> None:
    with translation.override("nl"):
        assert sum_in_words(Decimal("1342.25"), "EUR").endswith("1.342,25")
    assert sum_in_words(Decimal("1342.25"), "EUR").endswith("1,342.25")
