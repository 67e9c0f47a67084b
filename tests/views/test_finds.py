"""Recording a find: what is wrong is named with its remedy, what was typed stays, nothing is lost or doubled."""

from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils.datastructures import MultiValueDict
from django.utils.timezone import localtime, now

from finds.forms import FindForm
from finds.models import Find, FindMaterial, FindNumber
from geo.gridref import grid_reference
from geo.position import Country
from people.models import User
from tests import make

pytestmark = pytest.mark.django_db

INSIDE = "53.6009, 0.1515"


@pytest.fixture
def hunt(member: User, leader: User):
    hunt = make.hunt(leader=leader, state="running", starts_at="00:01", ends_at="23:59")
    make.attendance(hunt, member)
    hunt.refresh_from_db()  # times as times
    return hunt


@pytest.fixture
def finder(client: Client, member: User) -> Client:
    client.force_login(member)
    return client


def typed(hunt, finder: User, **fields: Any) -> dict[str, Any]:
    """The form as a person fills it in."""
    return {
        "client_id": uuid4(),
        "object_type": "thimble with a starry crown",
        "site": hunt.sites.all()[0].pk,
        "finder": finder.pk,
        "found_at": localtime(now()).strftime("%Y-%m-%dT%H:%M"),
        "count": 1,
        "is_coin": "no",
        "certainty": "unknown",
        "description": "Found beside the old hedge line.",
        "position_text": INSIDE,
    } | fields


def post(client: Client, hunt, data: dict[str, Any]):
    return client.post(reverse("finds:record", args=[hunt.pk]), data)


def recorded(client: Client, hunt, data: dict[str, Any]) -> Find:
    response = post(client, hunt, data)
    assert response.status_code == 302, response.context["form"].errors
    return Find.objects.latest("pk")


def assert_refused(response, *, saying: str) -> None:
    """The form again, with the sentence, everything typed still there, and no row or number used."""
    assert response.status_code == 200
    assert saying in response.text
    assert "Nothing was saved yet" in response.text
    assert 'value="thimble with a starry crown"' in response.text
    assert "Found beside the old hedge line." in response.text
    assert not Find.objects.exists()
    assert not FindNumber.objects.exists()


def test_a_find_is_recorded_with_its_place_and_number(finder: Client, hunt, member: User) -> None:
    find = recorded(finder, hunt, typed(hunt, member))
    assert (find.number_row.serial, find.placing, find.position_text) == (1, "inside", INSIDE)
    page = finder.get(reverse("finds:detail", args=[find.pk])).text
    assert find.number in page
    assert "TA" in page


# Bad input, as the season's list has it: what is typed, and what the page answers

TOMORROW = (localtime(now()) + timedelta(1)).strftime("%Y-%m-%dT%H:%M")
LONG_AGO = "1999-05-01T12:00"
BAD: list[tuple[str, dict[str, Any], str]] = [
    (
        "odd digits",
        {"position_text": "TA 123 45"},
        "has 3 easting figures and 2 northing figures; give the same number of each",
    ),
    (
        "no reference at all",
        {"position_text": "behind the barn"},
        "is not a position that can be read; give a",
    ),
    (
        "swapped latitude and longitude",
        {"position_text": "0.1515, 53.6009"},
        "which looks swapped; give latitude first",
    ),
    ("tomorrow", {"found_at": TOMORROW}, "has not come yet; give the time when it was found"),
    ("another year", {"found_at": LONG_AGO}, "1 May 1999 is not the day of"),
    (
        "nothing on the scale",
        {"weight_g": "0"},
        "0 g cannot be; leave the weight empty until it is weighed",
    ),
    ("less than nothing", {"weight_g": "-3"}, "g cannot be; leave the weight empty"),
    (
        "a coin of 40 kg",
        {"weight_g": "40000", "is_coin": "yes"},
        "40000 g for 1 coin is more than any coin weighs. Give the weight in grams",
    ),
    (
        "105 % silver",
        {"silver_percent": "105"},
        "105 % cannot be a share of the metal; give a figure from 0 to 100",
    ),
    ("minus 5 % gold", {"gold_percent": "-5"}, "-5 % cannot be a share of the metal"),
    (
        "60 % gold and 60 % silver",
        {"gold_percent": "60", "silver_percent": "60"},
        "Gold and silver add up to 120 %; together they cannot pass 100 %",
    ),
    ("year 0", {"year_from": "0"}, "There is no year 0: write 1 BC as -1 and AD 1 as 1"),
    (
        "years reversed",
        {"year_from": "1300", "year_to": "1250"},
        "1250 is before 1300; give the earlier year first",
    ),
    ("no object", {"count": "0"}, "greater than or equal to 1"),
    (
        "none of these and another",
        {"circumstances": ["none", "hidden"]},
        "“None of these” and another are both ticked; keep one or the other",
    ),
    (
        "no gold or silver, and silver listed",
        {"no_precious": "on", "materials": ["silver", "iron"]},
        "“No gold or silver” is ticked and silver is listed; take one of the two away",
    ),
    (
        "no gold or silver, and a share of gold",
        {"no_precious": "on", "gold_percent": "2"},
        "“No gold or silver” is ticked and gold is listed",
    ),
]


@pytest.mark.parametrize(("fields", "saying"), [row[1:] for row in BAD], ids=[row[0] for row in BAD])
def test_what_cannot_be_is_named_and_what_was_typed_stays(
    finder: Client, hunt, member: User, fields: dict[str, Any], saying: str
) -> None:
    response = post(finder, hunt, typed(hunt, member, **fields))
    assert_refused(response, saying=saying)
    for name, value in fields.items():
        if name.endswith(("_text", "_percent", "_g", "_from", "_to")):
            shown = f"{value}</textarea>" if name.endswith("_text") else f'value="{value}"'
            assert shown in response.text


def test_a_place_outside_the_site_asks_and_is_kept_when_confirmed(finder: Client, hunt, member: User) -> None:
    data = typed(hunt, member, position_text="53.6100, 0.1515")
    response = post(finder, hunt, data)
    code = hunt.sites.all()[0].code
    assert_refused(response, saying=f"outside the boundary of {code}")
    assert "if it is right, tick here and it is kept with a note" in response.text
    find = recorded(finder, hunt, data | {"outside_is_right": "on"})
    assert find.placing == "outside"


def test_a_place_near_the_edge_is_neither_refused_nor_called_inside(
    finder: Client, hunt, member: User
) -> None:
    find = recorded(
        finder, hunt, typed(hunt, member, position_text="53.60001, 0.1515", typed_accuracy_m="15")
    )
    assert find.placing == "uncertain"


def test_a_grid_reference_is_read_as_it_is_written(finder: Client, hunt, member: User) -> None:
    text = grid_reference(0.1515, 53.6009, accuracy_m=1.0, country=Country.GB)
    find = recorded(finder, hunt, typed(hunt, member, position_text=text))
    assert find.position_text == text
    assert find.placing == "inside"


def test_the_place_that_the_telephone_filled_in_is_kept_with_its_accuracy(
    finder: Client, hunt, member: User
) -> None:
    device = {"device_lat": "53.6009", "device_lon": "0.1515", "device_accuracy_m": "7.5"}
    find = recorded(finder, hunt, typed(hunt, member, position_text="", position_method="device", **device))
    assert (find.lon, find.lat, find.accuracy_m, find.position_method) == (0.1515, 53.6009, 7.5, "device")


def test_forty_coins_may_weigh_what_one_may_not(finder: Client, hunt, member: User) -> None:
    find = recorded(finder, hunt, typed(hunt, member, is_coin="yes", weight_g="800", count="40"))
    assert find.weight_g == Decimal(800)


# Photographs


def test_a_text_file_called_jpg_is_named_and_the_form_stays(finder: Client, hunt, member: User) -> None:
    file = SimpleUploadedFile("ring.jpg", b"this is no photograph", content_type="image/jpeg")
    response = post(finder, hunt, typed(hunt, member, photos=file))
    assert_refused(response, saying="“ring.jpg” was not added")


class Huge(SimpleUploadedFile):
    """A file that says it has 300 MB; nobody should read that far to find out."""

    def __init__(self) -> None:
        super().__init__("field.jpg", make.photo_bytes(), content_type="image/jpeg")
        self.size = 300_000_000

    def read(self, *args: Any) -> bytes:
        raise AssertionError("read although it says that it is too large")


def test_a_photograph_of_300_mb_is_refused_by_what_it_says_of_itself(hunt, member: User) -> None:
    data = typed(hunt, member)
    files = MultiValueDict({"photos": [Huge()]})
    form = FindForm(data, files, hunt=hunt, by=member, at=now())
    assert not form.is_valid()
    assert "“field.jpg” was not added" in form.errors["photos"][0]
    assert "it is 300.0 MB. Send a smaller or JPEG copy" in form.errors["photos"][0]
    assert form["object_type"].value() == "thimble with a starry crown"


def test_thirteen_photographs_at_once_are_too_many(finder: Client, hunt, member: User) -> None:
    files = [SimpleUploadedFile(f"{n}.jpg", make.photo_bytes()) for n in range(13)]
    response = post(finder, hunt, typed(hunt, member, photos=files))
    assert_refused(response, saying="13 photographs are too many at once; send up to 12")


def test_a_photograph_is_kept_and_served_without_its_metadata(finder: Client, hunt, member: User) -> None:
    file = SimpleUploadedFile("ring.jpg", make.photo_bytes())
    find = recorded(finder, hunt, typed(hunt, member, photos=file))
    response = finder.get(reverse("finds:photo", args=[find.photos.get().pk, "full"]))
    body = response.getvalue()
    assert body.startswith(b"\xff\xd8")
    assert b"Exif" not in body
    assert response["Cache-Control"] == "private, no-store"


# Once, and only by those on the hunt


def test_the_form_sent_twice_makes_one_find_and_uses_one_number(finder: Client, hunt, member: User) -> None:
    data = typed(hunt, member)
    addresses = [post(finder, hunt, data)["Location"] for _ in range(2)]
    assert addresses[0] == addresses[1]
    assert (Find.objects.count(), FindNumber.objects.count()) == (1, 1)


def test_somebody_who_is_not_on_the_hunt_is_told_so_and_loses_nothing(hunt) -> None:
    outsider = make.person(name="Ned Spit")
    client = Client()
    client.force_login(outsider)
    response = post(client, hunt, typed(hunt, outsider))
    assert_refused(response, saying="Ned Spit is not signed up for")


def test_a_member_records_no_find_in_another_name(finder: Client, hunt, leader: User, member: User) -> None:
    response = post(finder, hunt, typed(hunt, leader))
    assert response.status_code == 200
    assert not Find.objects.exists()


def test_the_leader_records_for_a_member(client: Client, hunt, leader: User, member: User) -> None:
    client.force_login(leader)
    assert recorded(client, hunt, typed(hunt, member)).finder == member


# The ticks


def test_no_gold_or_silver_settles_both_and_shows_again_on_the_form(
    finder: Client, hunt, member: User
) -> None:
    find = recorded(finder, hunt, typed(hunt, member, no_precious="on", materials=["copper alloy"]))
    assert (find.facts["gold"], find.facts["silver"]) == ("no", "no")
    form = finder.get(reverse("finds:edit", args=[find.pk])).context["form"]
    assert form["no_precious"].value() is True


def test_taking_a_tick_away_withdraws_its_answer_and_no_other(finder: Client, hunt, member: User) -> None:
    find = recorded(finder, hunt, typed(hunt, member, no_precious="on", circumstances=["others_nearby"]))
    Find.objects.filter(pk=find.pk).update(facts=find.facts | {"container": "no", "worked": "yes"})
    response = finder.post(reverse("finds:edit", args=[find.pk]), typed(hunt, member))
    assert response.status_code == 302
    find.refresh_from_db()
    assert find.facts == {"container": "no", "worked": "yes"}


def test_listed_gold_beats_an_older_answer_when_the_record_is_changed(
    finder: Client, hunt, member: User
) -> None:
    find = recorded(finder, hunt, typed(hunt, member, no_precious="on"))
    response = finder.post(reverse("finds:edit", args=[find.pk]), typed(hunt, member, materials=["gold"]))
    assert response.status_code == 302
    find.refresh_from_db()
    assert "gold" not in find.facts
    assert FindMaterial.objects.get(find=find).material == "gold"


def test_answers_that_the_questions_do_not_ask_are_kept(finder: Client, hunt, member: User) -> None:
    find = recorded(finder, hunt, typed(hunt, member))
    Find.objects.filter(pk=find.pk).update(facts={"exceptional_by_expert": True})
    response = finder.post(reverse("finds:facts", args=[find.pk]), {"worked": "yes"})
    assert response.status_code == 302
    find.refresh_from_db()
    assert find.facts == {"exceptional_by_expert": True, "worked": "yes"}


# Changing


def test_changing_a_find_without_a_new_place_keeps_the_old_one(finder: Client, hunt, member: User) -> None:
    find = recorded(finder, hunt, typed(hunt, member))
    finder.post(reverse("finds:edit", args=[find.pk]), typed(hunt, member, position_text="", weight_g="2.5"))
    changed = Find.objects.get(pk=find.pk)
    assert (changed.lon, changed.lat, changed.position_text) == (find.lon, find.lat, INSIDE)
    assert changed.weight_g == Decimal("2.50")


def test_a_place_from_the_telephone_replaces_the_typed_text(finder: Client, hunt, member: User) -> None:
    find = recorded(finder, hunt, typed(hunt, member))
    device = {"device_lat": "53.6010", "device_lon": "0.1520", "device_accuracy_m": "4"}
    finder.post(reverse("finds:edit", args=[find.pk]), typed(hunt, member, position_text="", **device))
    changed = Find.objects.get(pk=find.pk)
    assert (changed.lat, changed.position_text) == (53.6010, "")


def test_a_withdrawn_find_leaves_its_number_and_reason_and_no_page(
    finder: Client, hunt, member: User, secretary: User
) -> None:
    find = recorded(finder, hunt, typed(hunt, member, is_coin="unknown"))
    finder.post(reverse("finds:withdraw", args=[find.pk]), {"why": "recorded twice"})
    assert finder.get(reverse("finds:detail", args=[find.pk])).status_code == 404
    finder.force_login(secretary)
    assert reverse("finds:numbers") in finder.get(reverse("finds:list")).text
    page = finder.get(reverse("finds:numbers")).text
    assert "recorded twice" in page


def test_the_hunt_leads_to_its_finds_and_labels(finder: Client, hunt) -> None:
    page = finder.get(reverse("hunts:detail", args=[hunt.pk])).text
    assert reverse("finds:labels", args=[hunt.pk]) in page
    assert f"{reverse('finds:list')}?hunt={hunt.code}" in page


def test_members_are_not_led_to_numbers_that_are_refused(finder: Client) -> None:
    assert reverse("finds:numbers") not in finder.get(reverse("finds:list")).text


def test_a_find_under_a_possible_duty_is_not_withdrawn(finder: Client, hunt, member: User) -> None:
    find = recorded(finder, hunt, typed(hunt, member, materials=["gold"], year_from="1600", year_to="1650"))
    response = finder.post(reverse("finds:withdraw", args=[find.pk]), {"why": "second thoughts"})
    assert response.status_code == 403
    assert "the committee has to end the case first" in response.text
    assert finder.get(reverse("finds:detail", args=[find.pk])).status_code == 200
