"""Logging holes in the field, their pages and photographs, and incidents."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localtime, now

from hunts.models import Hole, Hunt, Incident, PhotoDraft
from people.models import AuditEntry, User
from tests import make

ClientOf = Callable[[User | None], Client]
STAMP = "%Y-%m-%dT%H:%M"


@pytest.fixture
def hunt(leader: User, member: User) -> Hunt:
    made = make.hunt(leader=leader, state="running")
    make.sign_up(made, member)
    return made


def hole_data(hunt: Hunt, digger: User, **changes: Any) -> dict[str, Any]:
    values = {
        "client_id": str(uuid4()),
        "site": hunt.sites.all()[0].pk,
        "digger": digger.pk,
        "dug_at": localtime(now()).strftime(STAMP),
        "depth_cm": 15,
        "ground": "stubble",
        "outcome": "scrap",
        "device_lat": "53.6007",
        "device_lon": "0.1512",
        "device_accuracy_m": "4.5",
        "position_method": "device",
    }
    return values | changes


def log(client: Client, hunt: Hunt, data: dict[str, Any]) -> Any:
    return client.post(reverse("hunts:hole_log", args=[hunt.pk]), data)


def test_a_hole_by_the_phones_own_fix(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    response = log(client_of(member), hunt, hole_data(hunt, member, filled="on"))
    hole = Hole.objects.get()
    assert response["Location"] == reverse("hunts:hole_detail", args=[hole.pk])
    assert (hole.number, hole.placing, hole.state, hole.accuracy_m) == (1, "inside", "filled", 4.5)
    assert hole.position_method == "device"
    assert hole.cell is not None


def test_a_hole_by_a_typed_reference(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    typed = {"position_text": "TA 42461 13709", "device_lat": "", "device_lon": "", "position_method": ""}
    assert log(client_of(member), hunt, hole_data(hunt, member, **typed)).status_code == 302
    hole = Hole.objects.get()
    assert (hole.position_text, hole.position_method, hole.placing) == ("TA 42461 13709", "typed", "inside")
    assert (hole.lon, hole.lat) == pytest.approx((0.1513, 53.6007), abs=2e-4)


def test_a_hole_by_a_tap_on_the_map(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    log(client_of(member), hunt, hole_data(hunt, member, position_method="map", device_accuracy_m="2"))
    assert Hole.objects.get().position_method == "map"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"position_text": "TA 123 45"}, "TA 123 45"),
        ({"depth_cm": 250}, "250"),
        ({"depth_cm": -1}, "0"),
        ({"target_id": 5000}, "5000 is no target ID"),
        ({"outcome": "stopped"}, "Say what stopped you"),
        ({"outcome": "stopped", "stopped_for": "remains", "filled": "on"}, "do not fill"),
        ({"device_lat": "95"}, "90"),
    ],
)
def test_bad_input_names_value_and_remedy_and_keeps_what_was_typed(
    client_of: ClientOf, hunt: Hunt, member: User, changes: dict[str, Any], words: str
) -> None:
    response = log(client_of(member), hunt, hole_data(hunt, member, notes="by the old gate", **changes))
    text = response.content.decode()
    assert response.status_code == 200
    assert words in text
    assert "by the old gate" in text
    assert not Hole.objects.exists()


def test_a_hole_dated_tomorrow_is_refused_with_its_date(
    client_of: ClientOf, hunt: Hunt, member: User
) -> None:
    tomorrow = localtime(now() + timedelta(1))
    text = log(
        client_of(member), hunt, hole_data(hunt, member, dug_at=tomorrow.strftime(STAMP))
    ).content.decode()
    assert f"{tomorrow:%-d %b %Y, %H:%M} has not come yet" in text
    yesterday = localtime(now() - timedelta(1))
    text = log(
        client_of(member), hunt, hole_data(hunt, member, dug_at=yesterday.strftime(STAMP))
    ).content.decode()
    assert f"{yesterday:%-d %b %Y} is not the day of {hunt.code}" in text


def test_a_place_outside_is_kept_once_it_is_confirmed(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    client, data = client_of(member), hole_data(hunt, member, device_lon="0.1560")
    text = log(client, hunt, data).content.decode()
    assert "m outside the boundary of" in text
    assert not Hole.objects.exists()
    log(client, hunt, data | {"outside_is_right": "on"})
    assert Hole.objects.get().placing == "outside"


def test_a_form_sent_twice_is_one_hole(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    client, data = client_of(member), hole_data(hunt, member)
    assert log(client, hunt, data)["Location"] == log(client, hunt, data)["Location"]
    assert Hole.objects.count() == 1


def test_stopping_shows_the_drill_at_once(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    outside = {"outcome": "stopped", "stopped_for": "ordnance", "device_lon": "0.1560"}
    response = log(client_of(member), hunt, hole_data(hunt, member, **outside))
    assert response["Location"] == reverse("finds:incident", args=[Incident.objects.get().pk])
    assert Incident.objects.get().kind == "ordnance"
    assert Hole.objects.get().locked


def test_a_member_cannot_log_for_somebody_else(
    client_of: ClientOf, hunt: Hunt, member: User, leader: User
) -> None:
    assert log(client_of(member), hunt, hole_data(hunt, leader)).status_code == 200
    assert not Hole.objects.exists()
    assert log(client_of(leader), hunt, hole_data(hunt, member)).status_code == 302


def test_deeper_than_agreed_is_said(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    hunt.permission.depth_limit_cm = 20
    hunt.permission.save()
    url = reverse("hunts:hole_log", args=[hunt.pk])
    text = client_of(member).post(url, hole_data(hunt, member, depth_cm=35), follow=True).content.decode()
    assert "35 cm is deeper than the 20 cm agreed here" in text


def test_changing_a_hole_keeps_its_place_unless_another_is_given(
    client_of: ClientOf, hunt: Hunt, member: User
) -> None:
    hole, client = make.hole(hunt, member), client_of(member)
    url = reverse("hunts:hole_edit", args=[hole.pk])
    assert client.get(url).status_code == 200
    unplaced = {"device_lat": "", "device_lon": "", "device_accuracy_m": "", "position_method": ""}
    assert client.post(url, hole_data(hunt, member, depth_cm=7, **unplaced)).status_code == 302
    kept = Hole.objects.get()
    assert (kept.depth_cm, kept.lon, kept.lat) == (7, hole.lon, hole.lat)
    client.post(url, hole_data(hunt, member, device_lon="0.1520"))
    assert Hole.objects.get().lon == 0.152


def test_a_closed_hunt_keeps_its_holes_as_they_were(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    hole = make.hole(hunt, member)
    Hunt.objects.update(state="closed")
    url = reverse("hunts:hole_edit", args=[hole.pk])
    assert "stays as it was logged" in client_of(member).post(url, hole_data(hunt, member)).content.decode()


def test_fill_check_and_reopen(client_of: ClientOf, hunt: Hunt, member: User, leader: User) -> None:
    hole = make.hole(hunt, member)

    def press(user: User, name: str, **data: Any) -> str:
        answer = client_of(user).post(reverse(f"hunts:{name}", args=[hole.pk]), data, follow=True)
        return str(answer.content.decode())

    assert "Hole 1 is filled." in press(member, "hole_fill")
    assert "Hole 1 is checked." in press(leader, "hole_check")
    assert "Say what is wrong" in press(leader, "hole_reopen")
    press(leader, "hole_reopen", why="The plug has sunk.")
    text = client_of(member).get(reverse("hunts:hole_detail", args=[hole.pk])).content.decode()
    assert "The check found: The plug has sunk." in text
    assert "It is filled" in text


def test_photographs_come_in_clean_and_go_out_privately(
    client_of: ClientOf, hunt: Hunt, member: User
) -> None:
    client = client_of(member)
    pictures = {
        "photo_before": SimpleUploadedFile("before.jpg", make.photo_bytes("#664422")),
        "photo_after": SimpleUploadedFile("after.jpg", make.photo_bytes("#446622")),
    }
    log(client, hunt, hole_data(hunt, member, **pictures))
    photos = Hole.objects.get().photos.all()
    assert [photo.stage for photo in photos] == ["before", "after"]
    answer = client.get(reverse("hunts:hole_photo", args=[photos[0].pk, "full"]))
    assert b"".join(answer.streaming_content)[:2] == b"\xff\xd8"
    assert answer["Cache-Control"] == "private, no-store"
    assert answer["X-Content-Type-Options"] == "nosniff"


def test_a_text_file_called_jpg_is_named_and_nothing_is_lost(
    client_of: ClientOf, hunt: Hunt, member: User
) -> None:
    fake = SimpleUploadedFile("hole.jpg", b"this is no photograph", content_type="image/jpeg")
    data = hole_data(hunt, member, notes="by the old gate", photo_after=fake)
    text = log(client_of(member), hunt, data).content.decode()
    assert "hole.jpg" in text
    assert "was not added" in text
    assert "by the old gate" in text
    hole = make.hole(hunt, member)
    again = SimpleUploadedFile("hole.jpg", b"this is no photograph")
    url = reverse("hunts:hole_photo_add", args=[hole.pk])
    text = client_of(member).post(url, {"photos": again, "stage": "after"}, follow=True).content.decode()
    assert "was not added" in text


def test_a_locked_hole_keeps_its_place_off_lists_and_maps(
    client_of: ClientOf, hunt: Hunt, member: User, secretary: User
) -> None:
    hole = make.hole(hunt, member, locked=True)
    for user in (member, secretary):
        for url in (reverse("hunts:hole_list", args=[hunt.pk]), reverse("hunts:detail", args=[hunt.pk])):
            text = client_of(user).get(url).content.decode()
            assert "TA 42" not in text
            assert "0.1512" not in text
    own = reverse("hunts:hole_detail", args=[hole.pk])
    assert "TA 42" in client_of(member).get(own).content.decode()
    assert "TA 42" not in client_of(secretary).get(own).content.decode()
    assert [row.by for row in AuditEntry.objects.filter(verb="hole.see")] == [member]


def test_another_members_holes_are_neither_listed_nor_mapped(
    client_of: ClientOf, hunt: Hunt, member: User
) -> None:
    make.hole(hunt, member)
    other = client_of(make.person())
    for name in ("hole_list", "detail"):
        text = other.get(reverse(f"hunts:{name}", args=[hunt.pk])).content.decode()
        assert "Hole 1" not in text
        assert "0.1512" not in text


def test_only_those_not_filled(client_of: ClientOf, hunt: Hunt, leader: User, member: User) -> None:
    make.hole(hunt, member)
    make.hole(hunt, member, state="filled", filled_at=now(), filled_by=member)
    text = (
        client_of(leader)
        .get(reverse("hunts:hole_list", args=[hunt.pk]), {"state": "unfilled"})
        .content.decode()
    )
    assert "Hole 1" in text
    assert "Hole 2" not in text


def incident_data(**changes: Any) -> dict[str, Any]:
    values = {
        "client_id": str(uuid4()),
        "kind": "gate",
        "happened_at": localtime(now()).strftime(STAMP),
        "words": "The gate was off its hinge.",
    }
    return values | changes


def test_an_incident_is_recorded_once_and_seen_by_those_it_concerns(
    client_of: ClientOf, hunt: Hunt, member: User, leader: User, committee: User
) -> None:
    url, data = reverse("hunts:incident_add", args=[hunt.pk]), incident_data()
    for _ in range(2):
        assert client_of(member).post(url, data).status_code == 302
    assert Incident.objects.count() == 1
    for user in (member, leader, committee):
        assert "off its hinge" in client_of(user).get(reverse("hunts:incident_list")).content.decode()
    assert (
        "off its hinge" not in client_of(make.person()).get(reverse("hunts:incident_list")).content.decode()
    )


def test_an_injury_leads_to_its_drill(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    url = reverse("hunts:incident_add", args=[hunt.pk])
    answer = client_of(member).post(url, incident_data(kind="injury"))
    assert answer["Location"] == reverse("finds:incident", args=[Incident.objects.get().pk])


def test_an_incident_before_the_hunt_or_to_come_is_refused(
    client_of: ClientOf, hunt: Hunt, member: User
) -> None:
    url = reverse("hunts:incident_add", args=[hunt.pk])
    for away, words in ((timedelta(1), "has not come yet"), (timedelta(-2), "is before the day of")):
        when = localtime(now() + away).strftime(STAMP)
        assert words in client_of(member).post(url, incident_data(happened_at=when)).content.decode()
    assert not Incident.objects.exists()


def test_photographs_wait_with_their_stage_while_the_form_is_shown_again(
    client_of: ClientOf, hunt: Hunt, member: User
) -> None:
    client, same = client_of(member), make.photo_bytes("#664422")
    photos = {f"photo_{stage}": SimpleUploadedFile("hole.jpg", same) for stage in ("before", "after")}
    data = hole_data(hunt, member, depth_cm=250)
    refused = log(client, hunt, data | photos).content.decode()
    assert "there is no need to choose them again" in refused
    assert "Leave photograph 1 out: Photograph before digging" in refused
    assert "Leave photograph 2 out: Photograph after filling" in refused
    for draft in PhotoDraft.objects.all():
        url = reverse("hunts:photo_waiting", args=[draft.pk])
        assert url in refused
        assert client.get(url)["Content-Type"] == "image/jpeg"
        assert client_of(hunt.leader).get(url).status_code == 404
    more = {"depth_cm": 25, "photo_open": SimpleUploadedFile("open.jpg", make.photo_bytes("#446622"))}
    assert log(client, hunt, data | more).status_code == 302
    assert [p.stage for p in Hole.objects.get().photos.order_by("pk")] == ["before", "after", "open"]
    assert not PhotoDraft.objects.exists()


def test_a_waiting_photograph_of_a_hole_may_be_left_out_when_it_is_changed(
    client_of: ClientOf, hunt: Hunt, member: User
) -> None:
    client = client_of(member)
    log(client, hunt, hole_data(hunt, member))
    hole = Hole.objects.get()
    url, data = reverse("hunts:hole_edit", args=[hole.pk]), hole_data(hunt, member, depth_cm=250)
    photos = {
        "photo_before": SimpleUploadedFile("a.jpg", make.photo_bytes("#664422")),
        "photo_after": SimpleUploadedFile("b.jpg", make.photo_bytes("#446622")),
    }
    assert "photograph 2 out" in client.post(url, data | photos).content.decode()
    dropped = PhotoDraft.objects.get(slot="photo_before")
    assert client.post(url, data | {"depth_cm": 25, "drop_photos": [dropped.pk]}).status_code == 302
    assert [photo.stage for photo in hole.photos.all()] == ["after"]
