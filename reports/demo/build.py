"""Put the whole demo together, the same from the same seed, dated from today."""

from datetime import datetime
from random import Random

from django.db import transaction

from people.models import User
from reports.demo import custody, kit, matters, officer, pairs, season, sent, settling, stops, walks
from reports.demo.folk import make_club
from reports.demo.land import PAUSED, make_land

SEED = 1362  # the year of the great storm flood that took such parishes; any number would do


@transaction.atomic
def build_demo(*, at: datetime) -> None:
    """Make the club, its land and its season. Takes about a minute of processor; needs an empty database."""
    rng = Random(SEED)  # noqa: S311 - a repeatable demo, not a secret
    people = make_club(at.date(), rng)
    cast = season.Cast(people[0], people[1], people[2:])
    lands = make_land(people[0], at, rng)
    done = [
        (season.past_hunt(days, lands[which], cast, at, rng), lands[which]) for days, which in season.PAST
    ]
    matters.make_cases(done, _committee(people), at, rng)
    stops.make_stops(done, _committee(people), people[4], at, rng)
    pairs.make_pairs(done, at, Random(SEED + 1))  # noqa: S311 - of its own, so that the rest stays as it was
    sent.hand_backs(people[0], done, rng)
    sent.make_reports(people[0], done, at, rng)
    custody.make_custody(people[0], at, Random(SEED + 5))  # noqa: S311 - of its own, so that the rest stays as it was
    settling.make_settlements(people[0], [h for h, _ in done], at, Random(SEED + 3))  # noqa: S311 - of its own too
    own = Random(SEED + 7)  # noqa: S311 - of its own too
    officer.make_visits(people[0], at, own)
    officer.begin_report(done[-1][0], at)
    officer.give_thanks(people[0], at, own)
    for days, which in season.COMING:
        _coming(days, lands[which], cast, at, rng)
    kit.make_kits([cast.everybody[0], cast.leader], at)
    kit.make_field_work(cast.leader, cast.everybody, at)
    matters.pause(lands[PAUSED], at)


def _committee(people: list[User]) -> User:
    return people[3]


def _coming(days: int, land: object, cast: season.Cast, at: datetime, rng: Random) -> None:
    hunt = season.plan(land, days, cast, at, rng)  # type: ignore[arg-type]
    if days <= 10:
        season.open_and_sign_up(hunt, cast, at, rng, heads=14 if days == 3 else 8)
        walks.plan_sweep(hunt, cast.leader, at)
    if days == 0:
        hunt.refresh_from_db()
        season.run(hunt, land, cast, at, rng, 0, until=12)  # type: ignore[arg-type]
