"""A club begins in the browser: who gets in, what each step keeps, and what then stands on Today."""

from datetime import timedelta
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate, now

from people.models import AuditEntry, Club, Contact, Invitation, Letter, RoleHeld, User
from people.rights import Role
from people.set_up import SetUpKeyError, check_key, new_key
from reports.checklist import STEPS, checklist_for
from reports.models import NotNeeded
from tests import make
from tests.views.keys import Commits
from web.log_keys import without_keys

pytestmark = pytest.mark.django_db
PASSWORD = "three-gulls-on-a-gatepost"
FIRST = {
    "club": "Ravensand & District Search Club",
    "name": "Sal Marram",
    "email": "Sal@Ravensand.example",
    "new_password1": PASSWORD,
    "new_password2": PASSWORD,
}


def begin(key: str = "", **changed: str) -> tuple[Client, Any]:
    client = Client()
    address = reverse("set_up_begin", args=[key or new_key(at=now())])
    return client, client.post(address, FIRST | changed)


def test_an_empty_installation_leads_every_stranger_to_the_door() -> None:
    answer = Client().get("/", follow=True)
    assert answer.redirect_chain[-1][0] == reverse("set_up_door")
    assert "set_up_link" in answer.content.decode()
    assert "<form" not in answer.content.decode()


def test_the_printed_address_makes_the_first_account_its_secretary_and_signs_it_in() -> None:
    out = StringIO()
    call_command("set_up_link", site="https://club.example", stdout=out)
    address = out.getvalue().split()[-1]
    assert address.startswith("https://club.example/set-up/begin/")
    client, answer = begin(address.rstrip("/").rpartition("/")[2])
    assert answer["Location"] == reverse("set_up_club")
    person = User.objects.get()
    assert (person.email, person.name) == ("sal@ravensand.example", "Sal Marram")
    assert Role.SECRETARY in person.roles
    assert Club.objects.get().name == FIRST["club"]
    assert client.get(reverse("set_up_club")).status_code == 200
    assert set(AuditEntry.objects.values_list("verb", flat=True)) == {"club.begin", "account.sign_in"}


@pytest.mark.parametrize("key", ["nobody:knows", "", "x" * 40])
def test_nobody_gets_in_without_a_key_of_this_server(key: str) -> None:
    client = Client()
    address = reverse("set_up_begin", args=[key or new_key(at=now() - timedelta(days=1, seconds=1))])
    assert client.get(address).status_code == 410
    assert client.post(address, FIRST).status_code == 410
    assert not User.objects.exists()


def test_the_key_works_once_whoever_else_holds_it() -> None:
    key = new_key(at=now())
    check_key(key, at=now())
    begin(key)
    _, answer = begin(key, email="other@ravensand.example")
    assert answer.status_code == 410
    assert [person.email for person in User.objects.all()] == ["sal@ravensand.example"]
    with pytest.raises(SetUpKeyError):
        check_key(key, at=now())
    with pytest.raises(CommandError, match="has an account already"):
        call_command("set_up_link", site="https://club.example")


def test_the_same_form_sent_twice_begins_one_club() -> None:
    key = new_key(at=now())
    client, _ = begin(key)
    again = client.post(reverse("set_up_begin", args=[key]), FIRST)
    assert again["Location"] == reverse("reports:set_up")
    assert User.objects.count() == 1


def test_a_password_made_of_ones_own_name_is_refused_and_what_was_typed_is_kept() -> None:
    _, answer = begin(new_password1="salmarram-sea", new_password2="salmarram-sea", name="salmarram")
    assert answer.status_code == 200
    assert "too similar" in answer.context["form"].errors["new_password1"][0]
    assert "new_password2" not in answer.context["form"].errors
    assert 'value="Sal@Ravensand.example"' in answer.content.decode()
    assert not User.objects.exists()


def test_with_two_factors_demanded_the_first_person_sets_one_up_before_anything_else(settings: Any) -> None:
    settings.SECOND_FACTOR_REQUIRED = True
    client, answer = begin()
    assert client.get(answer["Location"])["Location"] == reverse("mfa_index")


def test_the_key_stands_in_no_log() -> None:
    key = new_key(at=now())
    assert key.partition(":")[0] not in without_keys(f"GET /set-up/begin/{key}/ 200")


def test_the_club_step_says_which_clock_counts(settings: Any) -> None:
    secretary = make.person(Role.SECRETARY)
    make.club(jurisdiction="us-florida")
    client = Client()
    client.force_login(secretary)
    page = client.get(reverse("set_up_club")).content.decode()
    assert "CLUB_TIME_ZONE=America/New_York" in page
    data = {"name": "A", "address": "1 Sea Lane", "jurisdiction": "wales", "units": "ha", "currency": "GBP"}
    assert client.post(reverse("set_up_club"), data)["Location"] == reverse("set_up_contacts")
    club = Club.objects.get()
    assert (club.jurisdiction, club.units, club.address) == ("wales", "ha", "1 Sea Lane")
    assert "CLUB_TIME_ZONE=" not in client.get(reverse("set_up_club")).content.decode()


def contacts(client: Client, **typed: str) -> Any:
    forms = client.get(reverse("set_up_contacts")).context["forms"]
    data = {form.add_prefix(name): form[name].value() or "" for form in forms for name in form.fields}
    for name, value in typed.items():
        kind, _, field = name.partition("__")
        form = next(each for each in forms if each.initial["kind"] == kind.replace("_", " "))
        data[form.add_prefix(field)] = value
    return client.post(reverse("set_up_contacts"), data)


def test_contacts_that_were_left_alone_are_not_kept_and_no_number_is_made_up() -> None:
    make.club(jurisdiction="wales")
    client = Client()
    client.force_login(make.person(Role.SECRETARY))
    page = client.get(reverse("set_up_contacts"))
    assert [form.title for form in page.context["forms"]] == [
        "Police",
        "Finds liaison or heritage officer",
        "Coroner",
    ]
    assert not any(form["phone"].value() for form in page.context["forms"])
    assert contacts(client)["Location"] == reverse("set_up_people")
    assert not Contact.objects.exists()
    contacts(
        client, police__phone="101", finds_officer__name="Una Fen", finds_officer__email="una@fen.example"
    )
    rows = set(Contact.objects.values_list("kind", "name", "phone", "jurisdiction"))
    assert rows == {("police", "Police", "101", "wales"), ("finds officer", "Una Fen", "", "wales")}
    assert [form.title for form in client.get(reverse("set_up_contacts")).context["forms"]] == ["Coroner"]


def test_a_contact_without_a_way_to_call_it_comes_back_with_what_was_typed() -> None:
    make.club(jurisdiction="wales")
    client = Client()
    client.force_login(make.person(Role.SECRETARY))
    answer = contacts(client, police__phone="ask Bob", finds_officer__name="Una Fen")
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "ask Bob" in page
    assert "without either nobody can be called" in page
    assert not Contact.objects.exists()


def test_first_people_come_by_the_usual_invitation_and_stay_in_view() -> None:
    make.club()
    client = Client()
    client.force_login(make.person(Role.SECRETARY))
    page = client.get(reverse("set_up_people"))
    data = {name: page.context["form"][name].value() for name in ("starts", "ends", "client_id")}
    data |= {"name": "Nan Spurn", "email": "nan@ravensand.example", "roles": ["committee"]}
    for _ in range(2):
        assert client.post(reverse("set_up_people"), data)["Location"] == reverse("set_up_people")
    assert Invitation.objects.get().user.name == "Nan Spurn"
    assert RoleHeld.objects.filter(user__name="Nan Spurn", role=Role.COMMITTEE).count() == 1
    assert "nan@ravensand.example" in client.get(reverse("set_up_people")).content.decode()


def test_a_test_letter_leaves_and_ticks_its_step(
    django_capture_on_commit_callbacks: Commits, secretary: User, client_of: Any
) -> None:
    assert {line.step.key: line.is_done for line in checklist_for(secretary, on=localdate())}["mail"] is False
    with django_capture_on_commit_callbacks(execute=True):
        client_of(secretary).post(reverse("test_letter"))
    letter = Letter.objects.get()
    assert letter.to == secretary.email
    assert letter.sent_at is not None
    assert {line.step.key: line.is_done for line in checklist_for(secretary, on=localdate())}["mail"] is True


def done(user: User) -> set[str]:
    return {line.step.key for line in checklist_for(user, on=localdate()) if line.is_done}


def test_each_step_is_ticked_by_what_is_there(secretary: User) -> None:
    assert done(secretary) == {"insurance"}  # the makers insure everybody
    make.club(address="1 Sea Lane")
    Contact.objects.create(kind="police", name="Control room", phone="101")
    make.person(Role.COMMITTEE)
    assert done(secretary) == {"insurance", "club", "contacts"}  # one of the committee is not two
    make.person(Role.COMMITTEE)
    assert "committee" in done(secretary)
    site = make.site(owner=make.landholder(), by=secretary)
    assert {"landholder", "site"} <= done(secretary)
    permission = make.permission(site)
    assert "permission" in done(secretary)
    make.hunt(site, leader=secretary, permission_=permission)
    assert "hunt" in done(secretary)
    AuditEntry.objects.create(at=now(), verb="club.backup", subject="people.Club:1", label="club", changes={})
    assert done(secretary) == {step.key for step in STEPS} - {"mail"}


def test_the_list_stands_on_the_secretarys_today_until_each_step_is_done_or_put_aside(
    secretary: User, committee: User, client_of: Any
) -> None:
    client = client_of(secretary)
    assert "Setting up the club" in client.get("/").content.decode()
    assert "Setting up the club" not in client_of(committee).get("/").content.decode()
    for step in STEPS:
        client.post(reverse("reports:not_needed", args=[step.key]), {"why": "the county does it"})
    assert "Setting up the club" not in client.get("/").content.decode()
    page = client.get(reverse("reports:set_up")).content.decode()
    assert page.count("the county does it") == len(STEPS) - 1  # insurance is there
    client.post(reverse("reports:needed", args=["backup"]))
    assert NotNeeded.objects.count() == len(STEPS) - 1
    assert "Backups" in client.get("/").content.decode()


def test_a_step_is_put_aside_only_with_a_reason_and_only_if_there_is_one(
    secretary: User, client_of: Any
) -> None:
    client = client_of(secretary)
    assert client.post(reverse("reports:not_needed", args=["backup"]), {"why": " "}).status_code == 200
    assert client.post(reverse("reports:not_needed", args=["moon"]), {"why": "x"}).status_code == 404
    assert not NotNeeded.objects.exists()
