"""The club under load: a season of hunts with holes and finds behind it, and one hunt on which everybody is out."""

from datetime import time
from typing import Any

HUNTS, HOLES, FINDS = 12, 30, 20


def club(people: int) -> dict[str, Any]:
    """`hunt`, and so many `people` with their sessions. Made of rows alone: the demo's own season takes minutes."""
    from django.conf import settings
    from django.test import Client

    from people.rights import Role
    from tests import make

    make.club()
    leader = make.person(Role.LEADER, name="Len Groyne")
    sessions = []
    for number in range(people):
        person = make.person(name=f"Load {number}", email=f"load{number}@ravensand.example")
        client = Client()
        client.force_login(person)
        sessions.append((person, client.cookies[settings.SESSION_COOKIE_NAME].value))
    members = [person for person, _ in sessions]
    site = make.site(by=leader)
    permission = make.permission(site)
    for number in range(HUNTS):
        _past(site, permission, leader, members, 7 * (number + 1))
    open_all_day: dict[str, Any] = {"starts_at": time(0), "ends_at": time(23, 59), "state": "running"}
    hunt = make.hunt(
        site, permission_=permission, leader=leader, code="LOAD", capacity=people + 1, **open_all_day
    )
    for person in members:
        make.attendance(hunt, person)
    make.hunt(site, permission_=permission, leader=leader, on=make.days(7), capacity=people)
    return {"hunt": hunt.pk, "people": sessions}


def _past(site: Any, permission: Any, leader: Any, members: list[Any], days_ago: int) -> None:
    """A hunt that is over: everybody was there, and some dug and found."""
    from django.utils.timezone import now

    from hunts.models import SignUp
    from tests import make

    hunt = make.hunt(site, permission_=permission, leader=leader, on=make.days(-days_ago), state="closed")
    SignUp.objects.bulk_create(SignUp(hunt=hunt, user=each, state="in", asked_at=now()) for each in members)
    for number in range(HOLES):
        make.hole(hunt, members[number % len(members)], number=number + 1, state="filled", filled_at=now())
    for number in range(FINDS):
        make.find(hunt, members[number % len(members)])
