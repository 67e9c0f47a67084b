"""Signing in by password, and the pages about people and the club (invitations: test_invitations.py)."""

from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from people.forms import year_from
from people.models import Club, Contact, User
from people.rights import Role
from tests import make

pytestmark = pytest.mark.django_db


def sign_in(client: Client, email: str, password: str = make.PASSWORD, **extra):
    return client.post(reverse("people:sign_in"), {"login": email, "password": password, **extra})


# Signing in


@pytest.mark.parametrize("typed", ["mo@ravensand.example", "MO@Ravensand.Example", "  mo@ravensand.example "])
def test_people_sign_in_by_e_mail_in_any_case(client: Client, typed: str) -> None:
    make.person(email="mo@ravensand.example")
    response = sign_in(client, typed)
    assert (response.status_code, response["Location"]) == (302, "/")


def test_a_wrong_password_says_what_to_check_and_keeps_the_address(client: Client, member: User) -> None:
    response = sign_in(client, member.email, "wrong")
    assert response.status_code == 200
    assert "do not go together" in response.text
    assert "capital letters count" in response.text
    assert f'value="{member.email}"' in response.text
    assert "wrong" not in response.text


def test_an_unknown_address_gets_the_same_answer_as_a_wrong_password(client: Client, member: User) -> None:
    answers = [sign_in(client, email, "wrong") for email in (member.email, "nobody@ravensand.example")]
    assert all("do not go together" in answer.text for answer in answers)


def test_an_account_that_is_switched_off_cannot_sign_in(client: Client) -> None:
    person = make.person(is_active=False)
    assert sign_in(client, person.email).status_code == 200
    assert client.get("/").status_code == 302


def test_signing_in_leads_back_to_the_page_that_was_asked_for_but_never_off_the_site(
    client: Client, member: User
) -> None:
    assert sign_in(client, member.email, next="/hunts/")["Location"] == "/hunts/"
    client.logout()
    assert sign_in(client, member.email, next="https://elsewhere.example/")["Location"] == "/"


def test_every_page_asks_for_signing_in_first(client: Client) -> None:
    response = client.get(reverse("people:me"))
    assert response["Location"] == "/club/sign-in/?next=/club/me/"


def test_signing_out_closes_the_pages(client: Client, member: User) -> None:
    client.force_login(member)
    client.post(reverse("people:sign_out"))
    assert client.get("/").status_code == 302


def test_a_lapsed_member_signs_in_and_sees_nothing_of_the_club(client: Client, stranger: User) -> None:
    hunt = make.hunt(title="Wold walk")
    assert sign_in(client, stranger.email).status_code == 302
    assert "Your membership does not cover today" in client.get("/").text
    for name in ("hunts:list", "finds:list", "permissions:site_list", "finds:case_list"):
        assert hunt.title not in client.get(reverse(name)).text
        assert hunt.sites.all()[0].name not in client.get(reverse(name)).text
    assert client.get(reverse("people:me")).status_code == 200


# People


def added(client: Client, secretary: User, **fields) -> dict[str, str]:
    client.force_login(secretary)
    starts, ends = year_from(make.days(0))
    data = {"name": "Nan Spurn", "email": "Nan@Ravensand.example", "starts": starts, "ends": ends} | fields
    response = client.post(reverse("people:person_add"), data)
    return {"status": response.status_code, "text": response.text}


def test_the_same_address_again_is_refused_by_name_and_keeps_what_was_typed(
    client: Client, secretary: User
) -> None:
    added(client, secretary)
    again = added(client, secretary, name="Nan Spurn of Kilnsea")
    assert again["status"] == 200
    assert "nan@ravensand.example belongs to an account already" in again["text"]
    assert 'value="Nan Spurn of Kilnsea"' in again["text"]
    assert User.objects.filter(email="nan@ravensand.example").count() == 1


def test_a_membership_that_ends_before_it_starts_names_both_days(client: Client, secretary: User) -> None:
    answer = added(client, secretary, starts="2026-03-01", ends="2026-02-01")
    assert "The last day (1 Feb 2026) is before the first day (1 Mar 2026)" in answer["text"]


def test_the_list_says_in_words_whose_insurance_has_ended(client: Client, secretary: User) -> None:
    make.person(name="Una Lapse").insurances.update(ends=make.days(-1))
    make.person(name="Ivo None", insured=False)
    client.force_login(secretary)
    text = client.get(reverse("people:person_list"), {"q": "Una"}).text
    assert "Ended" in text
    assert "Ivo None" not in text
    assert "None shown" in client.get(reverse("people:person_list"), {"q": "Ivo"}).text


def test_the_last_secretary_is_told_why_the_role_stays(client: Client, secretary: User) -> None:
    client.force_login(secretary)
    url = reverse("people:role_take", args=[secretary.roles_held.get().pk])
    assert "is the only secretary" in client.post(url, follow=True).text


def test_the_last_secretary_is_told_why_the_account_stays_on(client: Client, secretary: User) -> None:
    client.force_login(secretary)
    data = {"name": secretary.name, "email": secretary.email}  # the tick is left out
    response = client.post(reverse("people:person_edit", args=[secretary.pk]), data)
    assert response.status_code == 200
    assert "is the only secretary" in response.text


def test_a_role_that_is_not_one_is_named(client: Client, secretary: User, member: User) -> None:
    client.force_login(secretary)
    response = client.post(reverse("people:role_give", args=[member.pk]), {"role": "admiral"}, follow=True)
    assert "“admiral” is not a role of this club" in response.text


def test_members_change_their_own_details_but_not_their_address(client: Client, member: User) -> None:
    client.force_login(member)
    client.post(
        reverse("people:me"), {"name": "Mo Samphire", "phone": "01632 960111", "email": "other@x.example"}
    )
    changed = User.objects.get(pk=member.pk)
    assert (changed.phone, changed.email) == ("01632 960111", member.email)


def test_a_leader_sees_people_but_changes_nobody(client: Client, leader: User, member: User) -> None:
    client.force_login(leader)
    text = client.get(reverse("people:person_detail", args=[member.pk])).text
    assert member.email in text
    assert reverse("people:person_edit", args=[member.pk]) not in text


# The club


def test_the_secretary_changes_the_settings(client: Client, secretary: User) -> None:
    make.club()
    client.force_login(secretary)
    data = {
        "name": "Ravensand",
        "jurisdiction": "england",
        "units": "ha",
        "currency": "GBP",
        "find_prefix": "R",
    }
    assert client.post(reverse("people:club_settings"), data).status_code == 302
    assert Club.objects.get().find_prefix == "R"


def test_a_contact_is_added_changed_and_removed(client: Client, secretary: User) -> None:
    client.force_login(secretary)
    data = {"kind": "coroner", "name": "H. M. Coroner", "jurisdiction": "england", "phone": "01632 960000"}
    client.post(reverse("people:contact_add"), data)
    contact = Contact.objects.get()
    client.post(reverse("people:contact_edit", args=[contact.pk]), data | {"phone": "01632 960001"})
    assert "01632 960001" in client.get(reverse("people:club")).text
    remove = reverse("people:contact_delete", args=[contact.pk])
    assert "will not show this contact any more" in client.get(remove).text
    assert Contact.objects.exists()  # asked first
    client.post(remove)
    assert not Contact.objects.exists()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"phone": "ring the desk"}, "“ring the desk” is no number that a phone can dial"),
        ({"phone": ""}, "Give a phone number or an e-mail address"),
        ({"phone": "", "email": "coroner at ravensand"}, "Enter a valid email address"),
        ({"jurisdiction": "atlantis"}, "atlantis is not one of the available choices"),
    ],
)
def test_a_contact_that_cannot_be_called_is_refused_and_what_was_typed_stays(
    client: Client, secretary: User, change: dict[str, str], words: str
) -> None:
    client.force_login(secretary)
    data = {"kind": "coroner", "name": "H. M. Coroner", "jurisdiction": "england", "phone": "101"} | change
    text = client.post(reverse("people:contact_add"), data).text
    assert words in text
    assert "H. M. Coroner" in text
    assert not Contact.objects.exists()


@pytest.mark.parametrize("phone", ["999 or 101", "+44 (0)1632 960101", "01632 960101 ext. 12", "112"])
def test_numbers_as_people_write_them_are_taken(client: Client, secretary: User, phone: str) -> None:
    client.force_login(secretary)
    data = {"kind": "police", "name": "Control room", "jurisdiction": "scotland", "phone": phone}
    assert client.post(reverse("people:contact_add"), data).status_code == 302
    assert Contact.objects.get().phone == phone


def test_the_way_from_a_drill_fills_in_what_is_missing(client: Client, secretary: User) -> None:
    client.force_login(secretary)
    text = client.get(reverse("people:contact_add") + "?jurisdiction=scotland&kind=receiver").text
    assert '<option value="scotland" selected>' in text
    assert '<option value="receiver" selected>' in text


@pytest.mark.parametrize(
    ("first", "last"),
    [
        (date(2026, 1, 1), date(2026, 12, 31)),
        (date(2027, 3, 1), date(2028, 2, 29)),
        (date(2028, 2, 29), date(2029, 2, 28)),
    ],
)
def test_a_years_membership_ends_the_day_before_it_would_begin_again(first: date, last: date) -> None:
    assert year_from(first) == (first, last)


def test_a_person_with_two_roles_is_listed_with_both(client: Client, secretary: User) -> None:
    make.person(Role.LEADER, Role.COMMITTEE, name="Tam Both")
    client.force_login(secretary)
    assert "Committee, Leader" in client.get(reverse("people:person_list"), {"q": "Tam"}).text


def test_the_daily_list_is_turned_off_and_on_by_its_owner(client: Client, member: User) -> None:
    client.force_login(member)
    for ticked, wanted in (({}, False), ({"wants_digest": "on"}, True)):
        client.post(reverse("people:me"), {"name": member.name} | ticked)
        assert User.objects.get(pk=member.pk).wants_digest is wanted
