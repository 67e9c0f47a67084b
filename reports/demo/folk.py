"""The club's invented members: forty people, their roles, memberships and insurances."""

from datetime import date, datetime, time, timedelta
from functools import cache
from random import Random

from django.contrib.auth.hashers import make_password
from django.utils.timezone import make_aware

from people.models import Club, Contact, Insurance, Membership, RoleHeld, User
from people.rights import Role
from reports.models import NotNeeded

PASSWORD = "low-water-springs"  # noqa: S105 - the demo's, printed by `make demo`, used nowhere else
GIVEN = ["Ada", "Bram", "Cora", "Dell", "Edda", "Finn", "Greta", "Hale", "Ines", "Jory"]
GIVEN += ["Kit", "Lorna", "Mace", "Nell", "Orla", "Perrin", "Rhoda", "Sal", "Tam", "Una"]
FAMILY = ["Marram", "Groyne", "Samphire", "Boulder", "Warp", "Sandeman", "Fleet"]
FAMILY += ["Ness", "Shingle", "Spurling", "Tidewell", "Withern", "Holmes", "Drift"]
# Log-ins shown by demo_people: e-mail name, what they are, their roles.
CAST = [
    ("secretary", "Sal Marram", [Role.SECRETARY, Role.LEADER]),
    ("leader", "Bram Groyne", [Role.LEADER]),
    ("member", "Nell Samphire", []),
    ("committee", "Cora Boulder", [Role.COMMITTEE]),
    ("committee2", "Hale Withern", [Role.COMMITTEE]),
    ("leader2", "Greta Ness", [Role.LEADER]),
]


def make_club(today: date, rng: Random) -> list[User]:
    """Make the club, its contacts and its people; return the people, the cast first."""
    Club.objects.create(
        pk=1,
        name="Ravensand & District Search Club",
        base_lon=0.24,
        base_lat=53.63,
        address="The Reading Room, Sand Lane, Ravensand",
        emergency_department="Invented Infirmary, Ravensand (open day and night)",
    )
    for kind, name, phone in (
        ("finds officer", "Ida Drift, finds officer", "01632 960101"),
        ("coroner", "Coroner's office", "01632 960102"),
        ("police", "Police control room", "999 or 101"),
        ("coastguard", "Coastguard", "999"),
        ("museum", "Ravensand Museum", "01632 960103"),
        ("receiver", "Receiver of wreck", "01632 960104"),
    ):
        Contact.objects.create(
            kind=kind, name=name, phone=phone, hours="Office hours" if "96010" in phone else ""
        )
    people = [_person(login, name, roles, today) for login, name, roles in CAST]
    names = {name for _, name, _ in CAST}
    while len(people) < 40:
        name = f"{rng.choice(GIVEN)} {rng.choice(FAMILY)}"
        if name not in names:
            names.add(name)
            people.append(_person(f"member{len(people) + 1}", name, [], today))
    put_aside = make_aware(datetime.combine(today, time(8)))
    NotNeeded.objects.create(
        step="backup", why="A demo is made anew whenever it is wanted.", by=people[0], at=put_aside
    )
    return people


@cache
def _hashed() -> str:
    """One hash for the whole cast: hashing is slow on purpose, and this password is printed anyway."""
    return make_password(PASSWORD)


def _person(login: str, name: str, roles: list[Role], today: date) -> User:
    number = int.from_bytes(login.encode()[-2:], "big") % 900
    user: User = User.objects.create(
        email=f"{login}@ravensand.example",
        password=_hashed(),
        name=name,
        phone=f"07700 900{number:03}",
        emergency_contact=f"{name.split()[-1]} household, 07700 900{(number + 7) % 1000:03}",
        vehicle=f"RS{number % 90 + 10} XDM",
    )
    Membership.objects.create(user=user, starts=today - timedelta(500), ends=today + timedelta(200))
    # Every twelfth card ends within the month: something for Today to say.
    ends = today + timedelta(12 if number % 12 == 5 else 160)
    Insurance.objects.create(
        user=user,
        starts=today - timedelta(500),
        ends=ends,
        insurer="Coastwise Mutual",
        policy_number=f"CM{number:05}",
    )
    for role in roles:
        RoleHeld.objects.create(user=user, role=role, starts=today - timedelta(400))
    return user
