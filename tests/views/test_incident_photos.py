"""An incident's page keeps its photographs: shown with words, added in place, handed out to those who see it."""

from collections.abc import Callable
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import localtime, now

from hunts.models import Hunt, Incident, IncidentPhoto, PhotoDraft
from people.models import User
from tests import make, make_field
from tests.unit.web.pictures import encoded, exif, quartered

pytestmark = pytest.mark.django_db
As = Callable[[User | None], Client]


@pytest.fixture
def hunt(member: User, leader: User) -> Hunt:
    make.club()
    hunt = make_field.running(leader, member)
    hunt.refresh_from_db()
    return hunt


@pytest.fixture
def incident(hunt: Hunt, member: User) -> Incident:
    return make.incident(hunt, member)


def picture(data: bytes | None = None) -> SimpleUploadedFile:
    return SimpleUploadedFile("gap.jpg", make.photo_bytes() if data is None else data)


def add(client: Client, incident: Incident, **fields: Any) -> Any:
    return client.post(reverse("finds:incident_photo_add", args=[incident.pk]), fields, follow=True)


def test_one_added_on_the_page_is_shown_there_with_words(
    client_of: As, incident: Incident, member: User
) -> None:
    answer = add(client_of(member), incident, photos=[picture()], caption="The lower hinge")
    row = incident.photos.get()
    assert answer.redirect_chain == [(reverse("finds:incident", args=[incident.pk]), 302)]
    assert 'alt="Gate, fence or crop, photograph 1: The lower hinge"' in answer.text
    assert reverse("hunts:incident_photo", args=[row.pk, "thumb"]) in answer.text
    assert f"{member.name}, " in answer.text


def test_what_cannot_be_read_is_named_and_the_caption_stays(
    client_of: As, incident: Incident, member: User
) -> None:
    answer = add(client_of(member), incident, photos=[picture(b"a letter")], caption="The lower hinge")
    assert answer.status_code == 200
    assert "“gap.jpg” was not added" in answer.text
    assert 'value="The lower hinge"' in answer.text
    assert not IncidentPhoto.objects.exists()


def test_it_goes_out_privately_without_the_place_that_the_camera_wrote(
    client_of: As, incident: Incident, member: User
) -> None:
    sent = encoded(quartered(), exif=exif())
    assert b"secret-maker" in sent
    add(client_of(member), incident, photos=[picture(sent)])
    row = incident.photos.get()
    assert row.display.name.startswith("photos/incident/")
    for size in ("full", "thumb"):
        answer = client_of(member).get(reverse("hunts:incident_photo", args=[row.pk, size]))
        body = b"".join(answer.streaming_content)
        assert (body[:2], b"Exif" in body, b"secret-maker" in body) == (b"\xff\xd8", False, False)
        assert (answer["Cache-Control"], answer["X-Content-Type-Options"]) == ("private, no-store", "nosniff")
    assert f"{incident.hunt.code}-incident-{incident.pk}-{row.pk}.jpg" in answer["Content-Disposition"]


def test_another_member_gets_neither_page_nor_photograph(client_of: As, incident: Incident) -> None:
    row = make.incident_photo(incident)
    other = client_of(make.attendance(incident.hunt, make.person()).sign_up.user)
    assert other.get(reverse("hunts:incident_photo", args=[row.pk, "full"])).status_code == 404
    assert other.get(reverse("finds:incident", args=[incident.pk])).status_code == 404
    assert add(other, incident, photos=[picture()]).status_code == 404
    assert incident.photos.count() == 1


def test_one_that_left_the_store_is_not_there(client_of: As, incident: Incident, member: User) -> None:
    row = make.incident_photo(incident)
    row.display.storage.delete(row.display.name)
    assert client_of(member).get(reverse("hunts:incident_photo", args=[row.pk, "full"])).status_code == 404


def test_the_secretary_sees_the_photographs_of_a_locked_incident_and_not_its_place(
    client_of: As, hunt: Hunt, member: User, secretary: User
) -> None:
    place = {"lon": 0.1512, "lat": 53.6007, "accuracy_m": 4.0, "site": hunt.sites.get()}
    incident = make.incident(hunt, member, kind="deposit", locked=True, **place)
    row = make.incident_photo(incident)
    url = reverse("finds:incident", args=[incident.pk])
    assert "TA 42" in client_of(member).get(url).text
    shown = client_of(secretary).get(url).text
    assert reverse("hunts:incident_photo", args=[row.pk, "thumb"]) in shown
    assert not any(words in shown for words in ("TA 42", "53.600", "0.151"))


def test_a_dozen_photographs_cost_no_more_queries_than_one(
    client_of: As, incident: Incident, member: User
) -> None:
    client, url = client_of(member), reverse("finds:incident", args=[incident.pk])

    def queries() -> int:
        make.incident_photo(incident, added_by=make.person())
        with CaptureQueriesContext(connection) as asked:
            client.get(url)
        return len(asked)

    first = queries()
    assert [queries() for _ in range(11)][-1] == first
    assert client.get(url).text.count("<img ") == 12


def recorded(client: Client, hunt: Hunt, **fields: Any) -> Any:
    url = reverse("hunts:incident_add", args=[hunt.pk])
    form = client.get(url).context["form"]
    said = {
        "kind": "stock",
        "words": "A lame heifer by the gap",
        "happened_at": localtime(now()).strftime("%Y-%m-%dT%H:%M"),
        "client_id": str(form["client_id"].value()),
    }
    return client.post(url, said | fields, follow=True)


def test_one_chosen_while_recording_is_kept_with_it(client_of: As, hunt: Hunt, member: User) -> None:
    recorded(client_of(member), hunt, photos=[picture()])
    assert Incident.objects.get().photos.count() == 1


def test_a_form_that_comes_back_keeps_its_photographs(client_of: As, hunt: Hunt, member: User) -> None:
    client = client_of(member)
    back = recorded(client, hunt, words="", photos=[picture()])
    assert "Photographs received already" in back.text
    assert (PhotoDraft.objects.count(), Incident.objects.count()) == (1, 0)
    key = str(back.context["form"].data["client_id"])
    recorded(client, hunt, client_id=key)
    assert Incident.objects.get().photos.count() == 1
    assert not PhotoDraft.objects.exists()
