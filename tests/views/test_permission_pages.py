"""Permissions and consents on the page: terms as sentences, moves, evidence, and bad dates named."""

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate

from people.models import User
from permissions.models import Consent, Permission, Site
from permissions.states import State
from tests import make

ClientOf = Callable[[User], Client]
PDF = b"%PDF-1.7\n1 0 obj <<>> endobj\ntrailer <<>>\n%%EOF\n"
TERMS = {
    "reference": "P700", "title": "Saltmere", "livestock_rule": "ask_first", "share_percent": "50",
    "share_threshold": "500", "share_wording": "over", "share_rule": "whole", "share_unit": "object",
    "photographs": "no_places",
}  # fmt: skip


@pytest.fixture
def site(secretary: User) -> Site:
    return make.site(by=secretary, owner=make.landholder(name="Ada Warp"))


@pytest.fixture
def client(client_of: ClientOf, secretary: User) -> Client:
    make.club()
    return client_of(secretary)


def write(client: Client, site: Site, **fields: Any) -> Any:
    values = TERMS | {"client_id": uuid4(), "sites": [site.pk]} | fields
    return client.post(reverse("permissions:permission_add"), values)


def detail(client: Client, permission: Permission) -> str:
    return client.get(reverse("permissions:permission_detail", args=[permission.pk])).content.decode()


def test_terms_are_shown_as_plain_sentences(client: Client, site: Site) -> None:
    write(
        client,
        site,
        weekdays=[5, 6],
        max_heads=12,
        depth_limit_cm=30,
        notice_hours=48,
        other_terms="Shut gates",
    )
    html = detail(client, Permission.objects.get())
    for sentence in (
        "Searching is allowed on Saturdays and Sundays only.",
        "At most 12 people on one visit.",
        "No hole is dug deeper than 30 cm.",
        "at least 48 hours before each visit",
        "worth more than £500, the whole value is shared: 50% to the landholder",
        "Shut gates.",
    ):
        assert sentence in html


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"starts": "2026-05-01", "ends": "2026-04-01"}, "(1 Apr 2026) is before the first day (1 May 2026)"),
        ({"hours_from": "16:00", "hours_to": "09:00"}, "“Not after” (09:00) must be later"),
        ({"share_percent": "120"}, "less than or equal to 100"),
        ({"depth_limit_cm": "900"}, "less than or equal to 200"),
        ({"named_only": "on"}, "Name at least one person"),
        ({"sites": []}, "This field is required"),
    ],
)
def test_bad_terms_are_named_and_kept(client: Client, site: Site, fields: dict[str, Any], words: str) -> None:
    response = write(client, site, **fields)
    html = response.content.decode()
    assert response.status_code == 200
    assert words in html
    assert 'value="Saltmere"' in html
    assert not Permission.objects.exists()


def test_a_reference_in_use_is_named_and_the_same_form_twice_is_one(client: Client, site: Site) -> None:
    key = uuid4()
    assert (
        write(client, site, client_id=key).status_code
        == write(client, site, client_id=key).status_code
        == 302
    )
    assert "“P700” is the reference of Saltmere already" in write(client, site).content.decode()
    assert Permission.objects.count() == 1


def move(client: Client, permission: Permission, to: str, why: str = "") -> Any:
    address = reverse("permissions:permission_move", args=[permission.pk])
    return client.post(address, {"to": to, "why": why}, follow=True)


def test_a_permission_goes_from_draft_to_granted_and_back_from_a_pause(client: Client, site: Site) -> None:
    write(client, site)
    permission = Permission.objects.get()
    for to, why in (("asked", ""), ("granted", ""), ("paused", "lambs"), ("granted", "they rang")):
        move(client, permission, to, why)
        permission.refresh_from_db()
        assert permission.state == to


def test_a_pause_without_a_reason_is_refused_and_a_wrong_move_explained(client: Client, site: Site) -> None:
    permission = make.permission(site)
    assert "Say why, and who said so" in move(client, permission, "paused").content.decode()
    assert (
        "It is granted now, so it cannot become refused"
        in move(client, permission, "refused", "no").content.decode()
    )
    permission.refresh_from_db()
    assert permission.state == State.GRANTED


def consent(client: Client, permission: Permission, **fields: Any) -> Any:
    owner = permission.sites.all()[0].parties.get().landholder
    values = {"client_id": uuid4(), "party": f"{owner.pk}:owner", "evidence_kind": "signed"} | fields
    return client.post(reverse("permissions:consent_add", args=[permission.pk]), values)


def test_a_consent_that_ends_before_it_starts_names_both_dates(client: Client, site: Site) -> None:
    permission = make.permission(site, consents=False)
    response = consent(client, permission, starts="2026-05-01", ends="2026-04-01")
    assert "(1 Apr 2026) is before the first day (1 May 2026)" in response.content.decode()
    assert not Consent.objects.exists()


def test_only_parties_of_the_sites_can_consent(client: Client, site: Site) -> None:
    permission = make.permission(site, consents=False)
    response = consent(client, permission, party=f"{make.landholder().pk}:owner")
    assert "Select a valid choice" in response.content.decode()


def test_evidence_is_kept_private_and_shown_to_the_secretary_only(
    client: Client, client_of: ClientOf, leader: User, site: Site
) -> None:
    permission = make.permission(site, consents=False)
    consent(
        client, permission, given_on=localdate(), evidence_upload=SimpleUploadedFile("Ada's letter.pdf", PDF)
    )
    row = Consent.objects.get()
    address = reverse("permissions:consent_evidence", args=[row.pk])
    response = client.get(address)
    assert b"".join(response.streaming_content) == PDF
    assert response["Content-Type"] == "application/pdf"
    assert response["Cache-Control"] == "private, no-store"
    assert "Ada" not in row.evidence_file.name
    assert client_of(leader).get(address).status_code == 403


def test_a_text_file_called_pdf_is_refused_by_name(client: Client, site: Site) -> None:
    permission = make.permission(site, consents=False)
    response = consent(client, permission, evidence_upload=SimpleUploadedFile("agreed.pdf", b"yes, Ada"))
    assert "“agreed.pdf” was not added: its content is text" in response.content.decode()
    assert not Consent.objects.exists()


def test_a_leader_sees_the_terms_but_not_who_agreed(client_of: ClientOf, leader: User, site: Site) -> None:
    html = detail(client_of(leader), make.permission(site))
    assert "A landholder</strong>, owner" in html
    assert "Ada Warp" not in html


@pytest.mark.parametrize(
    ("fields", "word"),
    [
        ({}, "In force"),
        ({"state": State.PAUSED}, "Paused"),
        ({"ends": "past"}, "Run out"),
        ({"starts": "future"}, "Not begun"),
        ({"consents": False}, "No consent in force"),
    ],
)
def test_the_list_says_where_each_permission_stands(
    client: Client, site: Site, fields: dict[str, Any], word: str
) -> None:
    days = {"past": localdate() - timedelta(1), "future": localdate() + timedelta(1)}
    make.permission(site, **{key: days.get(value, value) for key, value in fields.items()})
    assert word in client.get(reverse("permissions:permission_list")).content.decode()


def test_a_consent_written_down_wrongly_is_put_right_without_a_withdrawal(client: Client, site: Site) -> None:
    permission = make.permission(site)
    row = permission.consents.get()
    address = reverse("permissions:consent_edit", args=[row.pk])
    assert "Ada Warp, owner" in client.get(address).content.decode()
    values = {"party": f"{row.landholder_id}:owner", "given_on": localdate(), "evidence_kind": "email"}
    client.post(address, values)
    row.refresh_from_db()
    assert (row.evidence_kind, row.starts, row.withdrawn_on) == ("email", None, None)


def test_a_retired_site_stays_in_an_agreement_that_is_changed(client: Client, site: Site) -> None:
    permission = make.permission(site)
    Site.objects.filter(pk=site.pk).update(retired_on=localdate())
    html = client.get(reverse("permissions:permission_edit", args=[permission.pk])).content.decode()
    assert f'name="sites" value="{site.pk}" id="id_sites_0"' in html
    assert "checked" in html.split('id="id_sites_0"')[1][:60]


def test_the_site_it_was_begun_from_is_ticked(client: Client, site: Site) -> None:
    make.site()
    html = client.get(reverse("permissions:permission_add") + f"?site={site.pk}").content.decode()
    ticks = re.findall(r'<input type="checkbox" name="sites" value="(\d+)"[^>]*checked', html)
    assert ticks == [str(site.pk)]


@pytest.mark.parametrize(("typed", "kept"), [("10", "10.00"), ("", "0.00"), (None, "0.00")])
def test_the_organisers_part_is_nothing_unless_said(
    client: Client, site: Site, typed: str | None, kept: str
) -> None:
    fields = {} if typed is None else {"organiser_percent": typed}
    write(client, site, **fields)
    assert str(Permission.objects.get().organiser_percent) == kept
