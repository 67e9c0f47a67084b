"""The record in full: what is typed is kept with its terms, what cannot be is named, and the page shows all of it."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate, localtime, now

from finds.models import Find, FindLink
from people.models import User
from tests import make

pytestmark = pytest.mark.django_db


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


def typed(hunt, finder: User, **fields: Any) -> dict[str, Any]:
    return {
        "client_id": uuid4(),
        "object_type": "Finger Ring",
        "site": hunt.sites.all()[0].pk,
        "finder": finder.pk,
        "found_at": localtime(now()).strftime("%Y-%m-%dT%H:%M"),
        "count": 1,
        "is_coin": "no",
        "certainty": "probable",
    } | fields


def post(client: Client, hunt, data: dict[str, Any]):
    return client.post(reverse("finds:record", args=[hunt.pk]), data)


def recorded(client: Client, hunt, data: dict[str, Any]) -> Find:
    response = post(client, hunt, data)
    assert response.status_code == 302, response.context["form"].errors
    return Find.objects.latest("pk")


def page(client: Client, find: Find) -> str:
    return client.get(reverse("finds:detail", args=[find.pk])).text


def test_everything_recorded_stands_on_the_page_with_its_terms(finder: Client, hunt, member: User) -> None:
    data = typed(
        hunt,
        member,
        materials=["silver", "copper alloy"],
        silver_percent="92.5",
        other_0="jet",
        period="post-medieval",
        inscription="· GOD · ABOVE ·",
        identified_by="Ida Drift",
        identified_on=localdate().isoformat(),
        completeness="complete",
        condition="bent",
        context="ploughsoil",
        land_use="stubble",
        diameter_mm="19.5",
        weight_g="3.25",
        depth_cm="0",
    )
    text = page(finder, recorded(finder, hunt, data))
    for words in (
        "Finger Ring", "FISH Archaeological Objects Thesaurus, 2021-09-21", "concepts/96691",
        "Silver 92.5 %", "Copper alloy", "jet", "Free text", "aat/300011029",
        "post-medieval (probable)", "1540 to 1901, the whole of the period", "1540?/1901?", "· GOD · ABOVE ·",
        "Ida Drift", "complete", "bent", "ploughsoil", "stubble", "diameter 19.5 mm", "3.25 g", "0 cm",
    ):  # fmt: skip
        assert words in text, words
    assert "Land use" in text


def test_empty_fields_are_left_out(finder: Client, hunt, member: User) -> None:
    text = page(finder, recorded(finder, hunt, typed(hunt, member)))
    for label in ("Inscription", "Land use", "Condition", "Identified by", "Date in EDTF", "Size"):
        assert f"<dt>{label}" not in text, label


REFUSED: list[tuple[str, dict[str, Any], str]] = [
    ("metals over the whole", {"gold_percent": "50", "silver_percent": "30", "lead_percent": "30.5"},
     "Gold, silver and lead add up to 110.5 %; together they cannot pass 100 %"),
    ("others over the whole", {"bone_percent": "60", "other_0": "jet", "other_0_percent": "60"},
     "Bone and jet add up to 120 %"),
    ("a share of nothing", {"other_0": "", "other_0_percent": "40"}, "40 % of what? Name the material beside it"),
    ("a share in words", {"gold_percent": "much"}, "“much” is not a share; give a figure from 0 to 100"),
    ("too fine a share", {"gold_percent": "33.333"}, "33.333 % is more exact than can be kept"),
    ("not a number", {"gold_percent": "NaN"}, "NaN % cannot be a share of the metal"),
    ("gold by another name", {"no_precious": "on", "other_0": "silver gilt"}, "silver gilt is listed; take one"),
    ("no EDTF", {"edtf": "about 1275"}, "“about 1275” is not a date in EDTF. Write 1275, 1275/1300"),
    ("EDTF backwards", {"edtf": "1300/1275"}, "“1300/1275” ends before it begins"),
    ("EDTF against years", {"edtf": "1275/1300", "year_from": "1400", "year_to": "1450"},
     "means 1275 to 1300, and the years say 1400 to 1450; make them agree or leave one empty"),
    ("made after it was found", {"year_from": "2999"}, "2999 is after"),
    ("EDTF after it was found", {"edtf": "2999"}, "2999 is after"),
    ("before anything was made", {"year_from": "-99999999"}, "-99999999 is before anything was made"),
    ("identified before it was found", {"identified_on": "2001-02-03"}, "3 Feb 2001 is before"),
    ("identified tomorrow", {"identified_on": (localdate() + timedelta(1)).isoformat()}, "has not come yet"),
    ("years outside the period", {"period": "Roman", "year_from": "1500", "year_to": "1600"},
     "1500 to 1600 lies outside Roman (AD 43 to AD 410) in the list for this place. Which shall be kept?"),
]  # fmt: skip


@pytest.mark.parametrize(("fields", "saying"), [row[1:] for row in REFUSED], ids=[row[0] for row in REFUSED])
def test_what_cannot_be_is_named_and_stays(
    finder: Client, hunt, member: User, fields: dict[str, Any], saying: str
) -> None:
    response = post(finder, hunt, typed(hunt, member, **fields))
    assert response.status_code == 200
    assert saying in response.text.replace("&#x27;", "'")
    assert not Find.objects.exists()
    for name, value in fields.items():
        if value != "on":
            assert f'value="{value}"' in response.text, name


@pytest.mark.parametrize(
    ("choice", "kept"),
    [
        ("both", ("Roman", 1500, 1600, "typed")),
        ("years", ("", 1500, 1600, "typed")),
        ("period", ("Roman", 43, 410, "period")),
    ],
)
def test_the_question_about_years_and_period_is_answered_once(
    finder: Client, hunt, member: User, choice: str, kept: tuple[Any, ...]
) -> None:
    data = typed(hunt, member, period="Roman", year_from="1500", year_to="1600", period_choice=choice)
    find = recorded(finder, hunt, data)
    assert (find.period, find.year_from, find.year_to, find.years_source) == kept


def test_a_free_period_is_not_asked_about(finder: Client, hunt, member: User) -> None:
    find = recorded(
        finder, hunt, typed(hunt, member, period="Georgian or so", year_from="1500", year_to="1600")
    )
    assert (find.period, find.period_scheme) == ("Georgian or so", "")


def test_filled_in_years_are_not_shown_as_typed_and_follow_a_new_period(
    finder: Client, hunt, member: User
) -> None:
    find = recorded(finder, hunt, typed(hunt, member, period="Roman"))
    address = reverse("finds:edit", args=[find.pk])
    form = finder.get(address).context["form"]
    assert form["year_from"].value() is None
    assert "Now AD 43 to AD 410, from the whole of the period." in finder.get(address).text
    assert finder.post(address, typed(hunt, member, period="Medieval")).status_code == 302
    find.refresh_from_db()
    assert (find.year_from, find.year_to, find.years_source) == (1066, 1540, "period")


def test_a_changed_record_shows_its_materials_again(finder: Client, hunt, member: User) -> None:
    data = typed(
        hunt,
        member,
        materials=["gold"],
        gold_percent="75",
        other_0="Brass",
        other_1="jet",
        other_1_percent="5",
    )
    find = recorded(finder, hunt, data)
    text = finder.get(reverse("finds:edit", args=[find.pk])).text
    for words in ('name="gold_percent" value="75"', 'value="gold" checked', 'value="Brass"', 'value="jet"'):
        assert words in text, words
    found = {row.words or row.material: row.share_percent for row in find.materials.all()}
    assert found == {"gold": 75, "Brass": None, "jet": 5}


def test_gold_written_in_words_is_gold_for_the_law(finder: Client, hunt, member: User) -> None:
    find = recorded(finder, hunt, typed(hunt, member, other_0="GOLD", year_from="1500", year_to="1550"))
    assert [row.material for row in find.materials.all()] == ["gold"]
    assert find.locked


def test_a_place_without_a_list_of_periods_takes_words(finder: Client, hunt, member: User) -> None:
    site = hunt.sites.all()[0]
    type(site).objects.filter(pk=site.pk).update(jurisdiction="isle-of-man")
    find = recorded(finder, hunt, typed(hunt, member, period="Roman"))
    assert (find.period, find.year_from, find.years_source) == ("Roman", None, "")


def test_a_photograph_says_what_it_shows(finder: Client, hunt, member: User) -> None:
    find = recorded(finder, hunt, typed(hunt, member))
    file = SimpleUploadedFile("ring.jpg", make.photo_bytes())
    finder.post(
        reverse("finds:photo_add", args=[find.pk]), {"photos": file, "view": "back", "has_scale": "on"}
    )
    photo = find.photos.get()
    assert photo.shows == "back, with a scale"
    assert "Back, with a scale" in page(finder, find)
    finder.post(reverse("finds:photo_shows", args=[photo.pk]), {"view": "edge", "caption": "the hallmark"})
    photo.refresh_from_db()
    assert (photo.view, photo.has_scale, photo.caption) == ("edge", False, "the hallmark")


def test_associated_finds_show_on_both_pages_and_come_off(finder: Client, hunt, member: User) -> None:
    one, two = (recorded(finder, hunt, typed(hunt, member)) for _ in range(2))
    data = {"client_id": uuid4(), "number": two.number, "note": "the two halves of a clasp"}
    finder.post(reverse("finds:link_add", args=[one.pk]), data)
    for find, other in ((one, two), (two, one)):
        assert "the two halves of a clasp" in page(finder, find)
        assert other.number in page(finder, find)
    finder.post(reverse("finds:link_remove", args=[two.pk, FindLink.objects.get().pk]))
    assert "the two halves of a clasp" not in page(finder, one)


def test_a_number_that_is_not_there_is_named(finder: Client, hunt, member: User) -> None:
    find = recorded(finder, hunt, typed(hunt, member))
    data = {"client_id": uuid4(), "number": "F1999-0001", "note": "x"}
    response = finder.post(reverse("finds:link_add", args=[find.pk]), data, follow=True)
    assert "“F1999-0001” is not the number of a find that you may see" in response.text
