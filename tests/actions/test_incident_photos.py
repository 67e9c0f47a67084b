"""Photographs of incidents: kept once with the incident, by those who see it, and by nobody else."""

from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.utils.timezone import now

from hunts import actions
from hunts.actions import PreparedIncidentPhoto
from hunts.models import Hunt, Incident, IncidentPhoto
from people.models import AuditEntry, User
from tests import make, make_field
from web.photos import take_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def hunt(member: User, leader: User) -> Hunt:
    make.club()
    return make_field.running(leader, member)


@pytest.fixture
def incident(hunt: Hunt, member: User) -> Incident:
    return make.incident(hunt, member)


def photo(colour: str = "#8a9a5b", caption: str = "") -> PreparedIncidentPhoto:
    return PreparedIncidentPhoto(take_in(SimpleUploadedFile("gap.jpg", make.photo_bytes(colour))), caption)


def trail() -> list[int]:
    """How many photographs each line of the trail says were added."""
    return [row.changes["added"] for row in AuditEntry.objects.filter(verb="incident.photos").order_by("pk")]


def test_each_original_is_kept_once_and_the_trail_counts_what_is_new(
    incident: Incident, member: User
) -> None:
    gap, heifer = photo("#112233"), photo("#445566", "The near hind leg")
    first = actions.add_incident_photos(incident.pk, [gap, gap], by=member, at=now())
    again = actions.add_incident_photos(incident.pk, [heifer, gap], by=member, at=now())
    assert actions.add_incident_photos(incident.pk, [gap], by=member, at=now()) == [first[0]]
    assert (first[0], again[1]) == (first[1], first[0])
    assert [row.caption for row in incident.photos.all()] == ["", "The near hind leg"]
    assert trail() == [1, 1]


def test_the_database_itself_refuses_an_original_twice(incident: Incident) -> None:
    there = make.incident_photo(incident)
    with pytest.raises(IntegrityError), transaction.atomic():
        make.incident_photo(incident, original_sha256=there.original_sha256)
    make.incident_photo(
        make.incident(incident.hunt, incident.recorded_by), original_sha256=there.original_sha256
    )


def test_those_who_see_an_incident_add_to_it_and_nobody_else_does(
    incident: Incident, member: User, leader: User, secretary: User, committee: User, stranger: User
) -> None:
    other = make.attendance(incident.hunt, make.person()).sign_up.user
    for by, colour in (
        (member, "#111111"),
        (leader, "#222222"),
        (secretary, "#333333"),
        (committee, "#444444"),
    ):
        actions.add_incident_photos(incident.pk, [photo(colour)], by=by, at=now())
    for by in (other, stranger):
        with pytest.raises(PermissionDenied, match="Only who recorded an incident"):
            actions.add_incident_photos(incident.pk, [photo("#555555")], by=by, at=now())
    assert [row.added_by for row in incident.photos.all()] == [member, leader, secretary, committee]


def test_who_recorded_it_and_left_the_club_adds_nothing_more(hunt: Hunt, stranger: User) -> None:
    incident = make.incident(hunt, stranger)
    with pytest.raises(PermissionDenied):
        actions.add_incident_photos(incident.pk, [photo()], by=stranger, at=now())


def test_a_closed_incident_takes_what_comes_late(incident: Incident, member: User, leader: User) -> None:
    actions.close_incident(incident.pk, by=leader, at=now(), outcome="The gate hangs again.")
    actions.add_incident_photos(incident.pk, [photo()], by=member, at=now())
    assert incident.photos.count() == 1


def test_recorded_with_its_photographs_it_is_one_write(
    hunt: Hunt, member: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    about = {"kind": "stock", "words": "A lame heifer", "happened_at": now(), "client_id": uuid4()}
    with monkeypatch.context() as broken:
        broken.setattr("hunts.actions.incident_photos.keep_photo", lambda *_, **__: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            actions.add_incident(hunt, by=member, at=now(), photos=[photo()], **about)
    assert not Incident.objects.exists()
    for _ in range(2):
        actions.add_incident(hunt, by=member, at=now(), photos=[photo()], **about)
    assert (Incident.objects.count(), IncidentPhoto.objects.count()) == (1, 1)
