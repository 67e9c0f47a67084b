"""Days stand on pages as the club has set; `datetime.date.isoformat` (ISO 8601) is what one form is held against."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate

from hunts.mail import tell
from people.models import Club, Letter, User
from tests import make
from web.days import FORMS, choices, form_of_days, months_named, write_days

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
