"""Second factors as people meet them, and the gate in front of those who need one."""

import re
from base64 import b32decode
from datetime import timedelta
from typing import Any

import pytest
from allauth.mfa.models import Authenticator
from django.db import transaction
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now

from people import checks
from people.models import AuditEntry, User
from people.rights import Role
from people.sealing import SealError, seal, unseal
from people.views.second_factor import OPEN_WITHOUT
from tests import make, make_factors
from tests.views.keys import is_in, letters, sign_in, sign_in_quickly, verbs
from tests.views.test_access import ROWS

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the library does after the commit is done at once: no commit comes in these tests. Letters wait as ever."""
    monkeypatch.setattr(transaction, "on_commit", lambda act, using=None, robust=False: robust or act())


# Second factors


def half_way(person: User) -> Client:
    client = sign_in(person)
    assert client.get(reverse("people:me")).status_code == 302  # the password alone opens nothing
    return client


def give_code(client: Client, code: str) -> Any:
    return client.post(reverse("mfa_authenticate"), {"code": code})


def test_a_code_of_the_app_is_asked_after_the_password(member: User) -> None:
    make_factors.app(member)
    client = half_way(member)
    wrong = f"{(int(make_factors.code_now()) + 1) % 10**6:06}"
    assert "That is not right" in give_code(client, wrong).text
    assert not is_in(client)
    assert give_code(client, make_factors.code_now()).status_code == 302
    assert is_in(client)
    assert verbs() == ["account.sign_in_failed", "account.sign_in"]
    assert AuditEntry.objects.get(verb="account.sign_in_failed").changes == {"how": "code"}
    assert AuditEntry.objects.get(verb="account.sign_in").changes == {"how": "password and totp"}


def test_a_code_is_good_once(member: User) -> None:
    """RFC 6238, section 5.2: the verifier must not accept the second attempt of the one-time password."""
    make_factors.app(member)
    code = make_factors.code_now()
    clients = [half_way(member), half_way(member)]
    answers = [give_code(client, code).status_code for client in clients]
    if code == make_factors.code_now():
        assert answers == [302, 200]


def test_a_code_of_another_half_minute_is_refused(member: User) -> None:
    make_factors.app(member)
    client = half_way(member)
    assert give_code(client, make_factors.code_now(steps=-2)).status_code == 200
    assert give_code(client, make_factors.code_now(steps=+2)).status_code == 200
    assert not is_in(client)


def test_a_recovery_code_opens_once(member: User) -> None:
    code = make_factors.recovery_codes(member).wrap().get_unused_codes()[0]
    assert is_in_after(half_way(member), code)
    assert not is_in_after(half_way(member), code)


def is_in_after(client: Client, code: str) -> bool:
    give_code(client, code)
    return is_in(client)


def test_codes_cannot_be_guessed(member: User) -> None:
    make_factors.app(member)
    client = half_way(member)
    for number in range(5):
        give_code(client, f"{number:06}")
    assert "Try again in five minutes" in give_code(client, make_factors.code_now()).text
    assert not is_in(client)


def test_who_is_half_way_may_begin_again(member: User) -> None:
    make_factors.app(member)
    client = half_way(member)
    assert client.get(reverse("people:sign_in")).status_code == 302
    client.post(reverse("people:sign_out"))
    assert client.get(reverse("people:sign_in")).status_code == 200


def set_up_app(client: Client) -> Any:
    page = client.get(reverse("mfa_activate_totp"))
    secret = re.search(r"<code>((?:[A-Z2-7]{4} ){7}[A-Z2-7]{4})</code>", page.text)  # in fours, to be typed
    assert secret
    code = make_factors.code_now(key=b32decode(secret[1].replace(" ", "")))
    return client.post(reverse("mfa_activate_totp"), {"code": code}, follow=True)


def test_setting_up_an_app_gives_recovery_codes_tells_by_letter_and_signs_out_elsewhere(member: User) -> None:
    here, elsewhere = sign_in(member), sign_in(member)
    page = set_up_app(here)
    assert len(re.findall(r"<li><code>\d{8}</code></li>", page.text)) == 10
    assert (is_in(here), is_in(elsewhere)) == (True, False)
    assert "An app that makes codes was added" in letters()[-1].subject
    assert {"account.app_added", "account.sessions_ended"} <= set(verbs())
    codes = here.get(reverse("mfa_download_recovery_codes"))
    assert len(re.findall(r"^\d{8}$", codes.text, re.MULTILINE)) == 10
    here.post(reverse("mfa_deactivate_totp"))
    assert "account.app_removed" in verbs()
    assert not Authenticator.objects.exists()


def test_secrets_are_sealed_in_the_database(member: User, settings: Any) -> None:
    client = sign_in(member)
    page = client.get(reverse("mfa_activate_totp")).text
    set_up_app(client)
    stored = " ".join(str(row.data) for row in Authenticator.objects.all())
    assert stored.count("gAAAA") == 2  # Fernet's first bytes (version 0x80 and the top of the time)
    for secret in re.findall(r"\b[A-Z2-7]{32}\b", page):
        assert secret not in stored


def test_an_old_key_still_opens_and_a_foreign_one_says_what_to_do(member: User, settings: Any) -> None:
    sealed, old = seal("a secret"), settings.SECRET_KEY
    make_factors.app(member)
    settings.SECRET_KEY, settings.SECRET_KEY_FALLBACKS = "new" * 20, [old]
    assert unseal(sealed) == "a secret"
    settings.SECRET_KEY_FALLBACKS = []
    with pytest.raises(SealError):
        unseal(sealed)
    client = half_way(member)
    assert "cannot be read on this server any more" in give_code(client, make_factors.code_now()).text


def test_what_changes_how_one_signs_in_asks_again_after_ten_minutes(member: User) -> None:
    client = sign_in(member)
    session = client.session
    session["signed_in_at"] = (now() - timedelta(minutes=11)).timestamp()
    session.save()
    asked = client.get(reverse("mfa_activate_totp"))
    assert asked["Location"].startswith(reverse("account_reauthenticate"))
    assert "not the password" in client.post(asked["Location"], {"password": "no"}).text
    answer = client.post(asked["Location"], {"password": make.PASSWORD})
    assert answer["Location"] == reverse("mfa_activate_totp")
    assert client.get(reverse("mfa_activate_totp")).status_code == 200


# The gate in front of those who need two


@pytest.fixture
def two_needed(settings: Any) -> None:
    settings.SECOND_FACTOR_REQUIRED = True


PAGES = [row for row in ROWS if row.method == "get" and row.kwargs.__qualname__.startswith("Row.")]


@pytest.mark.usefixtures("two_needed")
@pytest.mark.parametrize("role", [Role.SECRETARY, Role.COMMITTEE])
def test_without_a_second_factor_such_an_account_reaches_the_pages_that_set_one_up_and_nothing_else(
    role: Role,
) -> None:
    make.club()
    person = make.person(role)
    assert len(PAGES) > 50
    open_paths = {reverse(name) for name in OPEN_WITHOUT}
    held_back, stranger = sign_in_quickly(person), Client()
    reached = []
    for path in {reverse(row.name) for row in PAGES} - open_paths:
        mine, theirs = held_back.get(path), stranger.get(path)
        is_sent_to_set_up = mine.status_code == 302 and mine["Location"] == reverse("mfa_index")
        same = (mine.status_code, mine.get("Location")) == (theirs.status_code, theirs.get("Location"))
        if not is_sent_to_set_up and not same:
            reached.append(path)
    assert reached == []


@pytest.mark.usefixtures("two_needed")
def test_the_gate_opens_once_a_second_factor_is_there_and_shuts_when_it_goes(secretary: User) -> None:
    client = sign_in(secretary)
    page = client.get(reverse("people:person_list"), follow=True)
    assert "Your role opens what others trusted the club with" in page.text
    assert client.post(reverse("people:person_add"), {}).status_code == 302
    set_up_app(client)
    assert client.get(reverse("people:person_list")).status_code == 200
    client.post(reverse("mfa_deactivate_totp"))
    assert client.get(reverse("people:person_list")).status_code == 302


@pytest.mark.usefixtures("two_needed")
def test_members_and_leaders_need_none_until_they_are_given_more(leader: User, member: User) -> None:
    assert is_in(sign_in_quickly(member))
    client = sign_in_quickly(leader)
    assert is_in(client)
    leader.roles_held.create(role=Role.COMMITTEE, starts=make.days(0))
    assert client.get(reverse("people:me"))["Location"] == reverse("mfa_index")


@pytest.mark.usefixtures("two_needed")
def test_a_phone_is_told_to_sign_in_and_not_sent_elsewhere(committee: User) -> None:
    assert sign_in_quickly(committee).get(reverse("field:me")).status_code == 401


def test_it_is_said_in_words_when_one_password_opens_everything(settings: Any) -> None:
    settings.DEBUG = False
    assert [w.id for w in checks.second_factor_is_asked(None)] == ["stubble.W004"]
    settings.SECOND_FACTOR_REQUIRED = True
    assert checks.second_factor_is_asked(None) == []


# Lost factors


def test_the_secretary_takes_lost_factors_off_and_the_person_is_told(
    secretary: User, committee: User
) -> None:
    make_factors.recovery_codes(committee)
    theirs, client = sign_in_quickly(committee), sign_in_quickly(secretary)
    assert (
        "Take the second factors off" in client.get(reverse("people:person_detail", args=[committee.pk])).text
    )
    client.post(reverse("people:factors_off", args=[committee.pk]))
    assert not Authenticator.objects.exists()
    assert not is_in(theirs)
    assert "by somebody who manages people" in letters()[0].body


def test_nobody_takes_their_own_factors_off_this_way(secretary: User) -> None:
    make_factors.app(secretary)
    url = reverse("people:factors_off", args=[secretary.pk])
    assert "Somebody else must do this for you" in sign_in_quickly(secretary).post(url, follow=True).text
    assert Authenticator.objects.exists()
