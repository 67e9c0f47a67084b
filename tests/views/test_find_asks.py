"""What the find form asks back, what it warns of and what it keeps: nothing typed or sent is lost by a question."""

import re
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localtime, now
from PIL.ExifTags import GPS

from finds.models import Find, FindPhoto
from hunts.actions.waiting_photos import KEPT_FOR, MOST_WAITING, keep_photos
from hunts.models import PhotoDraft
from people.models import User
from tests import make
from tests.unit.web.heic_sample import HEIC
from tests.unit.web.pictures import Upload, encoded, exif, quartered
from web.photo_place import from_text, place_of, to_text
from web.photos import take_in

pytestmark = pytest.mark.django_db

# Invented places at sea, square TA. The hunt's field lies about INSIDE.
INSIDE = (53.6009, 0.1515)
NEXT_FIELD = (53.6043, 0.1515)  # 378 m north
FAR = (53.65, 0.30)


def gps(lat: float, lon: float, error_m: float | None = 5.0) -> dict[int, Any]:
    block: dict[int, Any] = {
        GPS.GPSLatitudeRef: "N",
        GPS.GPSLatitude: (lat, 0.0, 0.0),
        GPS.GPSLongitudeRef: "E",
        GPS.GPSLongitude: (lon, 0.0, 0.0),
    }
    return block | ({} if error_m is None else {GPS.GPSHPositioningError: error_m})


def taken_at(
    place: tuple[float, float] | None, error_m: float | None = 5.0, side: int = 60
) -> SimpleUploadedFile:
    """A JPEG as a telephone sends it, with or without a place."""
    block = exif(gps=gps(*place, error_m) if place else {})
    data = encoded(quartered(side, 40), exif=block)
    return SimpleUploadedFile("IMG_0001.jpg", data, content_type="image/jpeg")


@pytest.fixture
def hunt(member: User, leader: User):
    hunt = make.hunt(leader=leader, state="running", starts_at="00:01", ends_at="23:59")
    make.attendance(hunt, member)
    hunt.refresh_from_db()
    return hunt


@pytest.fixture
def finder(client: Client, member: User) -> Client:
    client.force_login(member)
    return client


class Sending:
    """The form as one person fills it in and sends it, again and again under one key."""

    def __init__(self, client: Client, hunt, finder: User, **fields: Any) -> None:
        self.client, self.url = client, reverse("finds:record", args=[hunt.pk])
        self.data: dict[str, Any] = {
            "client_id": str(uuid4()),
            "object_type": "penny",
            "site": hunt.sites.all()[0].pk,
            "finder": finder.pk,
            "found_at": localtime(now()).strftime("%Y-%m-%dT%H:%M"),
            "count": 1,
            "is_coin": "yes",
            "certainty": "unknown",
            "description": "Found beside the old hedge line.",
            "position_text": "53.6009, 0.1515",
        } | fields

    def send(self, **more: Any):
        return self.client.post(self.url, self.data | more)

    def again(self, response, **more: Any):
        """Send what the page that came back would send: its own fields, without any file."""
        form = response.context["form"]
        values = {name: form[name].value() for name in form.fields if name != "photos"}
        self.data = {name: value for name, value in values.items() if value not in (None, False, "")}
        return self.send(**more)


@pytest.fixture
def sending(finder: Client, hunt, member: User):
    return lambda **fields: Sending(finder, hunt, member, **fields)


def the_find(response) -> Find:
    assert response.status_code == 302, response.context["form"].errors
    return Find.objects.latest("pk")


def assert_asked(response, words: str) -> None:
    """The page again, with the question and everything typed; no find yet."""
    assert response.status_code == 200
    assert words in response.text.replace("&#x27;", "'")
    assert "Nothing was saved yet" in response.text
    assert "Found beside the old hedge line." in response.text
    assert 'value="penny"' in response.text
    assert not Find.objects.exists()


# Grains and units

HEAVY = {"weight_g": "22", "year_from": "1279", "year_to": "1300"}


def test_grains_typed_as_grams_are_asked_about_and_taken(sending) -> None:
    form = sending(**HEAVY)
    asked = form.send()
    assert_asked(asked, "22 g is far more than a penny of 1275 to 1342 weighs (1.43 g). 22 grains is 1.43 g.")
    assert 'value="22"' in asked.text
    assert "Grains or grams?" in asked.text
    find = the_find(form.again(asked, weight_unit="grains 22"))
    assert (str(find.weight_g), find.weight_as_typed) == ("1.43", "22 grains")
    page = form.client.get(reverse("finds:detail", args=[find.pk])).text
    assert "1.43 g (typed as 22 grains)" in page
    assert "The weight of 22 grains was kept as 1.43 g." in page


def test_grams_may_be_kept_and_then_the_page_says_what_does_not_fit(sending) -> None:
    form = sending(**HEAVY)
    find = the_find(form.again(form.send(), weight_unit="grams 22"))
    assert (str(find.weight_g), find.weight_as_typed) == ("22.00", "")
    page = form.client.get(reverse("finds:detail", args=[find.pk])).text
    assert "Worth a second look" in page
    assert "22.00 g is outside 0.86 to 1.57 g (clipping and wear allowed for, common practice)" in page


def test_another_number_is_asked_about_anew(sending) -> None:
    form = sending(**HEAVY)
    asked = form.send()
    assert_asked(form.again(asked, weight_g="20", weight_unit="grams 22"), "20 grains is 1.30 g")


def test_a_forged_answer_is_no_answer(sending) -> None:
    assert_asked(sending(**HEAVY).send(weight_unit="stones 22"), "Did you weigh in grains?")


@pytest.mark.parametrize(
    ("typed", "grams", "words"),
    [
        ("22 gr", "1.43", "22 grains"),
        ("22 grains", "1.43", "22 grains"),
        ("1.4g", "1.40", ""),
        ("0.05 oz", "1.42", "0.05 ounces (avoirdupois)"),
    ],
)
def test_units_may_be_typed(sending, typed: str, grams: str, words: str) -> None:
    find = the_find(sending(weight_g=typed).send())
    assert (str(find.weight_g), find.weight_as_typed) == (grams, words)


def test_an_unknown_unit_is_named_and_stays(sending) -> None:
    response = sending(weight_g="3 stones").send()
    assert_asked(response, "“stones” is not a unit known here")
    assert 'value="3 stones"' in response.text


def test_changing_something_else_keeps_how_the_weight_was_typed(sending) -> None:
    form = sending(weight_g="22 grains")
    find = the_find(form.send())
    edit = reverse("finds:edit", args=[find.pk])
    page = form.client.get(edit).context["form"]
    assert str(page["weight_g"].value()) == "1.43"
    form.client.post(edit, form.data | {"client_id": str(uuid4()), "weight_g": "1.43", "condition": "worn"})
    find.refresh_from_db()
    assert (find.condition, find.weight_as_typed) == ("worn", "22 grains")
    form.client.post(edit, form.data | {"client_id": str(uuid4()), "weight_g": "1.40"})
    find.refresh_from_db()
    assert (str(find.weight_g), find.weight_as_typed) == ("1.40", "")


def test_other_things_are_not_asked_about(sending) -> None:
    find = the_find(sending(object_type="plough share", is_coin="no", weight_g="2200").send())
    assert str(find.weight_g) == "2200.00"


# Photographs that wait

TELLS = re.compile(rb"Exif|GPS|53\.6|0\.15")


def test_a_photograph_is_kept_while_its_form_is_shown_again(sending, member: User) -> None:
    form = sending(**HEAVY)
    asked = form.send(photos=[taken_at(None)])
    draft = PhotoDraft.objects.get()
    assert draft.made_by == member
    assert "Photographs received already" in asked.text
    assert reverse("hunts:photo_waiting", args=[draft.pk]) in asked.text
    find = the_find(form.again(asked, weight_unit="grains 22"))
    assert [p.original_sha256 for p in find.photos.all()] == [draft.sha256]
    assert not PhotoDraft.objects.exists()


def test_waiting_photographs_survive_several_questions_and_more_files(sending) -> None:
    form = sending(**HEAVY, position_text="TA 123 45")
    first = form.send(photos=[taken_at(None, side=60)])
    second = form.again(first, weight_unit="grains 22", photos=[taken_at(None, side=80)])
    assert_asked(second, "give the same number of each")
    third = form.again(second, position_text="53.6009, 0.1515", weight_unit="grains 22")
    assert the_find(third).photos.count() == 2


def test_a_waiting_photograph_may_be_left_out(sending) -> None:
    form = sending(**HEAVY)
    asked = form.send(photos=[taken_at(None, side=60), taken_at(None, side=80)])
    drop = PhotoDraft.objects.earliest("pk").pk
    find = the_find(form.again(asked, weight_unit="grains 22", drop_photos=[drop]))
    assert find.photos.get().width == 80


def test_good_photographs_are_kept_beside_one_that_cannot_be_read(sending) -> None:
    form = sending()
    broken = SimpleUploadedFile("notes.jpg", b"only words", content_type="image/jpeg")
    refused = form.send(photos=[taken_at(None), broken])
    assert_asked(refused, "“notes.jpg” was not added")
    assert the_find(form.again(refused)).photos.count() == 1


def test_the_same_file_chosen_again_is_one_photograph(sending) -> None:
    form = sending(**HEAVY)
    asked = form.send(photos=[taken_at(None)])
    assert the_find(form.again(asked, weight_unit="grains 22", photos=[taken_at(None)])).photos.count() == 1


def test_nobody_else_sees_or_takes_a_waiting_photograph(sending, leader: User, hunt, client_of) -> None:
    form = sending(**HEAVY)
    form.send(photos=[taken_at(None)])
    draft, other = PhotoDraft.objects.get(), client_of(leader)
    assert other.get(reverse("hunts:photo_waiting", args=[draft.pk])).status_code == 404
    theirs = Sending(other, hunt, leader, client_id=str(draft.form_key))
    assert the_find(theirs.send()).photos.count() == 0
    assert PhotoDraft.objects.count() == 1


def test_drafts_expire_and_are_few(member: User) -> None:
    taken = [("photos", take_in(Upload(encoded(quartered(40 + n, 30))))) for n in range(MOST_WAITING + 1)]
    keep_photos(uuid4(), taken, by=member, at=now() - KEPT_FOR - timedelta(seconds=1))
    assert PhotoDraft.objects.count() == MOST_WAITING
    keep_photos(uuid4(), taken[:1], by=member, at=now())
    assert PhotoDraft.objects.count() == 1


# Where a photograph was taken


def test_a_photograph_taken_far_away_is_asked_about(sending) -> None:
    form = sending()
    asked = form.send(photos=[taken_at(NEXT_FIELD)])
    assert_asked(asked, "The photograph was taken 378 m from the place given")
    assert "(±9 m)" in asked.text  # 5 m at 68 % is 8.1 m at 95 %
    find = the_find(form.again(asked, place_choice="given"))
    assert (find.position_method, find.lat) == ("typed", 53.6009)
    assert find.photos.count() == 1


def test_the_photographs_place_may_be_taken_instead(sending) -> None:
    form = sending(position_text="53.6043, 0.1515")
    asked = form.send(photos=[taken_at(INSIDE)], outside_is_right="on")
    assert_asked(asked, "The photograph was taken 378 m from the place given")
    find = the_find(form.again(asked, place_choice="photo"))
    assert (find.position_method, find.placing) == ("photo", "inside")
    assert (find.lat, find.lon) == pytest.approx(INSIDE, abs=1e-6)
    assert find.accuracy_m == pytest.approx(8.1, abs=0.1)


@pytest.mark.parametrize(
    ("place", "error_m"),
    [
        (INSIDE, 5.0),
        ((53.60130, 0.1515), 5.0),  # 44 m: nearer than 50 m
        (NEXT_FIELD, 240.0),  # 378 m, and the camera was no surer than 389 m at 95 %
    ],
)
def test_what_the_accuracies_allow_is_not_asked_about(sending, place, error_m: float) -> None:
    find = the_find(sending().send(photos=[taken_at(place, error_m)]))
    assert find.position_method == "typed"


def test_one_photograph_at_the_place_is_enough(sending) -> None:
    photos = [taken_at(FAR, side=60), taken_at(INSIDE, side=80)]
    assert the_find(sending().send(photos=photos)).position_method == "typed"


def test_without_a_place_the_photographs_is_offered(sending) -> None:
    form = sending(position_text="")
    asked = form.send(photos=[taken_at(INSIDE, None)])
    assert_asked(asked, "No place was given, and the photograph says where it was taken.")
    find = the_find(form.again(asked, place_choice="photo"))
    assert (find.position_method, find.accuracy_m) == ("photo", 22.0)  # the camera gave no accuracy


def test_the_offer_may_be_declined(sending) -> None:
    form = sending(position_text="")
    find = the_find(form.again(form.send(photos=[taken_at(INSIDE)]), place_choice="given"))
    assert (find.position_method, find.lat) == ("", None)


def test_a_photograph_taken_at_home_is_not_offered_as_findspot(sending) -> None:
    assert the_find(sending(position_text="").send(photos=[taken_at(FAR)])).lat is None


def test_a_heic_photograph_is_asked_about_too(sending) -> None:
    heic = SimpleUploadedFile("IMG_0002.heic", HEIC, content_type="image/heic")
    assert_asked(sending().send(photos=[heic]), "km from the place given")


def test_the_place_of_a_photograph_is_kept_nowhere(sending) -> None:
    form = sending()
    asked = form.send(photos=[taken_at(NEXT_FIELD)])
    draft = PhotoDraft.objects.get()
    assert not TELLS.search(bytes(draft.display) + bytes(draft.thumb))
    assert not {"lat", "lon", "accuracy_m"} & {field.name for field in PhotoDraft._meta.get_fields()}
    find = the_find(form.again(asked, place_choice="given"))
    assert not {"lat", "lon"} & {field.name for field in FindPhoto._meta.get_fields()}
    with find.photos.get().display.open() as file:
        assert not TELLS.search(file.read())


def test_a_distance_to_a_locked_findspot_is_told_to_nobody(sending, secretary: User, client_of) -> None:
    """The secretary may change the record without seeing the place; photographs must not measure it out."""
    form = sending()
    find = the_find(form.send())
    Find.objects.filter(pk=find.pk).update(locked=True)
    edit = reverse("finds:edit", args=[find.pk])
    data = form.data | {"client_id": str(uuid4()), "position_text": "", "photos": [taken_at(NEXT_FIELD)]}
    response = client_of(secretary).post(edit, data)
    assert response.status_code == 302
    find.refresh_from_db()
    assert (find.position_method, find.lat) == ("typed", 53.6009)


def test_places_travel_in_the_form_and_nonsense_is_passed_over() -> None:
    place = place_of(take_in(Upload(encoded(quartered(), exif=exif()))))
    assert from_text(to_text([place]))[0].lat == pytest.approx(place.lat, abs=1e-7)
    assert from_text("nan,0.1,5;x;95,0.1,5;53.6,0.1,-2;53.6,0.1;inf,inf,inf") == []


# Several readings, first aid, labels


def test_several_readings_become_one_place(sending) -> None:
    lines = "53.60090, 0.15150 ±4 m at 10:00\r\n53.60092, 0.15152 ±4 m at 10:30\r\n53.60088, 0.15148 ±4 m at 11:00"
    form = sending(position_text=lines)
    find = the_find(form.send())
    assert (find.position_method, find.position_text.count("\n")) == ("averaged", 2)
    assert 2 <= find.accuracy_m < 4
    page = form.client.get(reverse("finds:detail", args=[find.pk])).text
    assert f"The place is the mean of 3 readings, good to {find.accuracy_m:.1f} m." in page


def test_readings_work_for_holes_too(finder: Client, hunt, member: User) -> None:
    data = {
        "client_id": str(uuid4()),
        "site": hunt.sites.all()[0].pk,
        "digger": member.pk,
        "dug_at": localtime(now()).strftime("%Y-%m-%dT%H:%M"),
        "depth_cm": "12",
        "ground": "stubble",
        "outcome": "nothing",
        "position_text": "53.60090, 0.15150 ±4 m\n53.60130, 0.15150 ±4 m",
    }
    page = finder.post(reverse("hunts:hole_log", args=[hunt.pk]), data, follow=True)
    hole = hunt.holes.get()
    assert (hole.position_method, hole.accuracy_m > 15) == ("averaged", True)
    assert "The two readings lie 45 m apart, farther than their accuracies allow. Take a third." in page.text


def test_first_aid_stands_on_the_page_and_on_the_label(sending, hunt) -> None:
    form = sending(object_type="musket ball", is_coin="no", materials=["lead"])
    find = the_find(form.send())
    page = form.client.get(reverse("finds:detail", args=[find.pk])).text
    assert "Ask a conservator or finds officer before any cleaning." in page
    assert "White powder on it is poisonous dust" in page
    labels = form.client.get(reverse("finds:labels", args=[hunt.pk])).text
    assert "Lead: gloves, wash hands, keep dry" in labels
    assert "53.60" not in labels
