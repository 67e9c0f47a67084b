"""What whoever runs the server does about accounts: the first secretary, and second factors that are lost."""

import re
from io import StringIO
from typing import Any

import pytest
from allauth.mfa.models import Authenticator
from django.core.management import CommandError, call_command
from django.utils.timezone import now

from people.invitations import open_invitation
from people.models import AuditEntry, User
from people.rights import Right, Role
from tests import make, make_factors

pytestmark = pytest.mark.django_db


def run(*words: str, **options: Any) -> str:
    out = StringIO()
    call_command(*words, stdout=out, **options)
    return out.getvalue()


def first(email: str = "sal@marram.example") -> str:
    return run("first_secretary", email, "Sal Marram", site="https://club.example/")


def test_the_first_secretary_is_given_an_address_that_opens_the_account() -> None:
    key = re.search(r"https://club\.example/club/invited/(\S+)/", first())
    assert key
    person = open_invitation(key[1], at=now()).user
    assert (person.name, person.has_usable_password()) == ("Sal Marram", False)
    assert person.holds(Right.MANAGE_PEOPLE)


def test_until_it_was_used_the_address_can_be_printed_anew_and_the_older_is_shut() -> None:
    keys = [re.findall(r"invited/(\S+)/", first())[0] for _ in "ab"]
    assert keys[0] != keys[1]
    assert open_invitation(keys[1], at=now())
    with pytest.raises(Exception, match="opens nothing"):
        open_invitation(keys[0], at=now())


def test_a_club_with_a_secretary_invites_for_itself(secretary: User) -> None:
    with pytest.raises(CommandError, match="The club has a secretary"):
        first()
    assert User.objects.count() == 1


@pytest.mark.parametrize(
    ("email", "site", "words"),
    [("sal", "https://x.example", "“sal” is no"), ("s@x.example", "", "PUBLIC_URL")],
)
def test_what_is_wrong_is_said_with_its_remedy(email: str, site: str, words: str) -> None:
    with pytest.raises(CommandError, match=words):
        run("first_secretary", email, "Sal", site=site)


def test_lost_second_factors_are_taken_off_from_the_server(secretary: User) -> None:
    make_factors.recovery_codes(secretary)
    assert "are off" in run("second_factors_off", secretary.email.upper())
    assert not Authenticator.objects.exists()
    assert "had no second factor" in run("second_factors_off", secretary.email)
    with pytest.raises(CommandError, match=r"No account has the address nobody@x\.example"):
        run("second_factors_off", "nobody@x.example")
    assert set(AuditEntry.objects.values_list("via", flat=True)) == {"second_factors_off"}


def test_a_secretary_who_left_is_no_reason_against_a_first_one() -> None:
    make.person(Role.SECRETARY, is_active=False)
    assert "https://club.example" in first()
