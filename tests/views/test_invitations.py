"""Invitations and passwords as people meet them."""

import re
from datetime import timedelta
from typing import Any

import pytest
from django.core import mail
from django.test import Client
from django.urls import NoReverseMatch, reverse
from django.utils.timezone import now

from people.models import Invitation, Letter, User
from people.rights import Role
from tests import make, make_factors
from tests.views.keys import NEW_PASSWORD, Commits, is_in, letters, sign_in, verbs, way_in

pytestmark = pytest.mark.django_db

# Invitations


def invite(secretary: User, **fields: Any) -> Any:
    client = Client()
    client.force_login(secretary)
    data = {
        "name": "Nan Spurn",
        "email": "Nan@Ravensand.example",
        "starts": make.days(0),
        "ends": make.days(364),
    }
    return client.post(reverse("people:person_add"), data | fields)


def accept(path: str, password: str = NEW_PASSWORD, name: str = "Nan Spurn") -> Any:
    return Client().post(path, {"name": name, "new_password1": password, "new_password2": password})


def nan() -> User:
    return User.objects.get(email="nan@ravensand.example")


def test_an_invited_person_chooses_name_and_password_and_has_the_roles_given(secretary: User) -> None:
    assert invite(secretary, roles=["leader"]).status_code == 302
    [letter] = letters()
    assert letter.to == ["nan@ravensand.example"]
    assert "Sal Marram invites you" in letter.body
    assert accept(way_in(letter), name="Nan Spurn-Head").status_code == 302
    assert (nan().name, nan().roles) == ("Nan Spurn-Head", {Role.MEMBER, Role.LEADER})
    assert is_in(sign_in(nan(), NEW_PASSWORD))
    assert verbs()[:3] == ["person.add", "role.give", "person.invite"]
    assert {"person.invite_accepted", "account.sign_in"} <= set(verbs())


def test_an_invitation_opens_once(secretary: User) -> None:
    invite(secretary)
    path = way_in(letters()[0])
    accept(path)
    assert accept(path, "another-password-quite-long").status_code == 410
    assert Client().get(path).status_code == 410
    assert nan().check_password(NEW_PASSWORD)


@pytest.mark.parametrize("change", ["late", "withdrawn", "switched off", "altered", "of another purpose"])
def test_an_address_that_opens_nothing_says_one_thing_whatever_is_wrong(secretary: User, change: str) -> None:
    row = make_factors.invited(by=secretary)
    invite(secretary)
    path, client = way_in(letters()[0]), Client()
    if change == "late":
        Invitation.objects.update(sent_at=now() - timedelta(8), expires_at=now() - timedelta(1))
    elif change == "withdrawn":
        client.force_login(secretary)
        client.post(reverse("people:invitation_withdraw", args=[nan().invitations.get().pk]))
    elif change == "switched off":
        User.objects.filter(pk=nan().pk).update(is_active=False)
    elif change == "altered":
        path = path[:-2] + ("a" if path[-2] != "a" else "b") + "/"
    else:
        path = reverse("people:invited", args=[f"{row.nonce.hex}:made-for-something-else-entirely-000"])
    response = accept(path)
    assert response.status_code == 410
    assert "This address opens nothing" in response.text
    assert not nan().has_usable_password()


def test_sent_again_the_older_address_is_shut_and_the_newer_opens(secretary: User) -> None:
    invite(secretary)
    old = way_in(letters()[0])
    client = Client()
    client.force_login(secretary)
    text = client.post(reverse("people:invitation_send", args=[nan().pk]), follow=True).text
    assert "Older ones no longer work" in text
    new = way_in(letters()[0])
    assert accept(old).status_code == 410
    assert accept(new).status_code == 302
    assert (
        "has a password already"
        in client.post(reverse("people:invitation_send", args=[nan().pk]), follow=True).text
    )


def test_a_letter_that_waits_is_taken_back_when_the_invitation_is_withdrawn(secretary: User) -> None:
    row = make_factors.invited(by=secretary)
    client = Client()
    client.force_login(secretary)
    client.post(reverse("people:invitation_send", args=[row.user_id]))
    client.post(reverse("people:invitation_withdraw", args=[row.pk]))
    assert letters() == []
    assert "withdrawn" in client.get(reverse("people:invitation_list")).text


def test_the_form_sent_twice_invites_once(secretary: User) -> None:
    client_id = "7f1f2a52-9d0c-4d4f-8a7c-1c1f9d2b3a44"
    answers = [invite(secretary, client_id=client_id)["Location"] for _ in "ab"]
    assert answers[0] == answers[1] == reverse("people:person_detail", args=[nan().pk])
    assert (Invitation.objects.count(), len(letters())) == (1, 1)


@pytest.mark.parametrize(
    ("password", "words"),
    [
        ("12345", "too short"),
        ("nan@ravensand", "too similar"),
        ("qwertyuiop123", "too common"),  # from Django's own list of 20,000
    ],
)
def test_a_weak_password_is_refused_in_words(secretary: User, password: str, words: str) -> None:
    invite(secretary)
    response = accept(way_in(letters()[0]), password)
    assert words in response.text
    assert 'value="Nan Spurn"' in response.text
    assert not nan().has_usable_password()


def test_nobody_can_make_an_account_without_an_invitation(client: Client) -> None:
    for name in ("account_signup", "account_email", "account_set_password", "mfa_signup_webauthn"):
        with pytest.raises(NoReverseMatch):
            reverse(name)
    before = User.objects.count()
    client.post(reverse("people:sign_in"), {"login": "new@x.example", "password": NEW_PASSWORD})
    assert User.objects.count() == before


# Passwords


def forgotten(email: str) -> Any:
    return Client().post(reverse("people:password_reset"), {"email": email}, follow=True)


def choose(path: str, password: str = NEW_PASSWORD) -> Any:
    client = Client()
    form = client.get(path, follow=True)
    if not form.redirect_chain:
        return form
    return client.post(form.redirect_chain[-1][0], {"new_password1": password, "new_password2": password})


def test_asking_for_a_password_gives_nothing_away(client: Client, member: User, secretary: User) -> None:
    row = make_factors.invited(by=secretary)
    off = make.person(is_active=False)
    asked = (member.email, "nobody@ravensand.example", row.user.email, off.email)
    assert len({forgotten(email).text for email in asked}) == 1
    assert {message.to[0] for message in letters()} == {member.email, row.user.email}


def test_the_answer_waits_for_no_mail_server(
    member: User, django_capture_on_commit_callbacks: Commits
) -> None:
    """How long the page takes would say whether there is an account: the letter waits for send_letters."""
    with django_capture_on_commit_callbacks(execute=True):
        forgotten(member.email)
    assert mail.outbox == []
    assert Letter.objects.filter(to=member.email, sent_at=None).exists()


def test_a_forgotten_password_is_changed_once_by_letter_and_ends_every_sign_in(member: User) -> None:
    elsewhere = sign_in(member)
    forgotten(member.email.upper())
    path = way_in(letters()[0])
    assert choose(path).status_code == 302
    assert not is_in(elsewhere)
    assert is_in(sign_in(member, NEW_PASSWORD))
    assert "The password was changed" in letters()[0].subject
    assert "was used already" in choose(path, "another-password-quite-long").text
    assert "account.password_changed" in verbs()


def test_who_was_invited_and_asks_gets_the_invitation_again_but_no_longer_time(secretary: User) -> None:
    invite(secretary)
    letters()
    until = nan().invitations.get().expires_at
    forgotten("nan@ravensand.example")
    [letter] = letters()
    assert accept(way_in(letter)).status_code == 302
    assert nan().invitations.get().expires_at == until


def test_an_invitation_that_has_run_out_is_not_renewed_by_asking(secretary: User) -> None:
    row = make_factors.invited(by=secretary, sent_at=now() - timedelta(9), expires_at=now() - timedelta(2))
    forgotten(row.user.email)
    [letter] = letters()
    assert "ask the club's secretary" in letter.body
    assert "http" not in letter.body


def test_changing_the_password_signs_out_everywhere_else(member: User) -> None:
    here, elsewhere = sign_in(member), sign_in(member)
    data = {"old_password": make.PASSWORD, "new_password1": NEW_PASSWORD, "new_password2": NEW_PASSWORD}
    assert here.post(reverse("people:password_change"), data).status_code == 302
    assert (is_in(here), is_in(elsewhere)) == (True, False)
    assert member.email in letters()[0].to


def test_a_change_of_address_is_told_to_the_old_one(secretary: User, member: User) -> None:
    client = Client()
    client.force_login(secretary)
    data = {"name": member.name, "email": "mo@elsewhere.example", "is_active": "on"}
    client.post(reverse("people:person_edit", args=[member.pk]), data)
    [letter] = letters()
    assert letter.to == [member.email]
    assert "by somebody who manages people" in letter.body


# Where no mail server is set up

NO_MAIL = "django.core.mail.backends.dummy.EmailBackend"
SHOWN = "hand this address over"


def the_address(text: str) -> str:
    return re.findall(r"<code>https?://[^/]+(/club/invited/[^<]+)</code>", text)[0]


def test_without_a_mail_server_whoever_invited_sees_the_address_once(
    secretary: User, settings: Any, caplog: pytest.LogCaptureFixture
) -> None:
    settings.EMAIL_BACKEND = NO_MAIL
    client, other = Client(), Client()
    client.force_login(secretary)
    other.force_login(make.person(Role.SECRETARY, name="Sid Warp"))
    data = {
        "name": "Nan Spurn",
        "email": "nan@ravensand.example",
        "starts": make.days(0),
        "ends": make.days(364),
    }
    page = client.post(reverse("people:person_add"), data)["Location"]
    assert SHOWN not in other.get(page).text
    assert SHOWN not in client.get(reverse("people:person_detail", args=[secretary.pk])).text
    shown = client.get(page)
    assert SHOWN in shown.text
    assert "has a message" not in shown.text
    assert shown["Cache-Control"] == "private, no-store"
    path = the_address(shown.text)
    assert SHOWN not in client.get(page).text
    assert path.split("/")[-2] not in caplog.text
    assert accept(path).status_code == 302
    assert is_in(sign_in(nan(), NEW_PASSWORD))


def test_an_address_that_somebody_else_made_since_is_not_shown(secretary: User, settings: Any) -> None:
    settings.EMAIL_BACKEND = NO_MAIL
    row = make_factors.invited(by=secretary)
    first, second = Client(), Client()
    first.force_login(secretary)
    second.force_login(make.person(Role.SECRETARY, name="Sid Warp"))
    page = reverse("people:person_detail", args=[row.user_id])
    for client in (first, second):
        assert client.post(reverse("people:invitation_send", args=[row.user_id]))["Location"] == page
    assert SHOWN not in first.get(page).text
    assert SHOWN in second.get(page).text


def test_where_letters_leave_no_address_is_shown(secretary: User) -> None:
    client = Client()
    client.force_login(secretary)
    row = make_factors.invited(by=secretary)
    text = client.post(reverse("people:invitation_send", args=[row.user_id]), follow=True).text
    assert "An invitation is on its way" in text
    assert SHOWN not in text
