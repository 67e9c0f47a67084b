"""Two people with the same printed address, at the same moment."""

import pytest
from django.utils.timezone import localdate, now

from people import actions
from people.models import Club, RoleHeld, User
from tests.actions.test_hunt_races import together

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_club_is_begun_by_one_of_two_who_hold_the_same_address() -> None:
    ends = together(
        *(
            lambda name=name: actions.begin_club(
                club=f"Club of {name}",
                name=name,
                email=f"{name}@ravensand.example",
                password="wet-sand-and-small-change-77",
                via="set-up",
                at=now(),
                on=localdate(),
            )
            for name in ("sal", "nan")
        )
    )
    assert sum(isinstance(end, actions.SetUpError) for end in ends) == 1
    person = User.objects.get()
    assert Club.objects.get().name == f"Club of {person.name}"
    assert RoleHeld.objects.get().user == person
