"""Processor time for screening 10,000 finds alone and in groups, one hoard, and the whole way through the database.

Run as `python -m benchmarks.screening`; with `--database` it also makes an SQLite database of its own in a temporary
folder, records finds in it and screens them again after a change of packs.
"""

import os
import random
import sys
import tempfile
import time
from dataclasses import replace
from datetime import date, timedelta

from law.facts import Assay, FindFacts
from law.pack import load_pack
from law.screen import screen, screen_same_find
from law.together import screen_place, screen_same_place
from law.tri import Tri

FINDS = 10_000
HOARD = 300
KEPT = 500
ON = date(2025, 12, 1)


def some_find(rng: random.Random) -> FindFacts:
    """A find of the usual kind, with some facts left out."""
    pick = (Tri.YES, Tri.NO, Tri.NO, Tri.UNKNOWN)
    first = rng.randrange(-800, 1950) or 1
    return FindFacts(
        found_on=date(2025, 1, 1) + timedelta(days=rng.randrange(300)),
        is_coin=rng.choice(pick),
        silver=rng.choice(pick),
        gold=Tri.NO,
        base_metal=Tri.YES,
        precious_pct_low=rng.randrange(90),
        assay=rng.choice(list(Assay)),
        made_from=first,
        made_to=max(first, first + rng.randrange(150)) or 1,
        others_nearby=rng.choice(pick),
        worked=Tri.YES,
        tidal=Tri.NO,
        church_land=Tri.NO,
        human_remains=Tri.NO,
        ordnance=Tri.NO,
        military_aircraft=Tri.NO,
    )


def alone(finds: list[FindFacts]) -> None:
    for code in ("england", "scotland", "ireland"):
        pack = load_pack(code)
        start = time.process_time()
        for facts in finds:
            screen(facts, pack=pack, on=ON)
        print(f"{code}: {FINDS} finds in {time.process_time() - start:.2f} s")
    start = time.process_time()
    for facts in finds:
        screen_place(facts, code="us-washington", on=ON)
    print(f"us-washington with us-federal: {FINDS} finds in {time.process_time() - start:.2f} s")


def in_groups(finds: list[FindFacts]) -> None:
    """The same finds in same-find groups of 1 to 30: found on one or two days, as hoards are, and on many."""
    rng, left, groups = random.Random(2), list(finds), []
    while left:
        size = rng.choice((1, 1, 1, 2, 3, 5, 30))
        groups.append(left[:size])
        left = left[size:]
    days = [date(2025, 3, 10), date(2025, 3, 11)]
    close = [[replace(facts, found_on=rng.choice(days)) for facts in group] for group in groups]
    for name, same in (("one or two days", close), ("many days", groups)):
        start = time.process_time()
        for group in same:
            screen_same_place(group, code="england", on=ON)
        spent = time.process_time() - start
        print(f"england: {FINDS} finds in {len(same)} groups, found on {name}, in {spent:.2f} s")


def hoard() -> None:
    coin = FindFacts(
        found_on=date(2025, 1, 1), is_coin=Tri.YES, same_find=Tri.YES, made_from=200, made_to=300
    )
    start = time.process_time()
    screen_same_find([coin] * HOARD, pack=load_pack("england"), on=ON)
    print(f"england: hoard of {HOARD}, each against the others, in {time.process_time() - start:.2f} s")


def database() -> None:
    """The whole way: facts read from rows, screened, kept with its packs, and screened again in batches."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ |= {"DJANGO_DEBUG": "1", "DJANGO_SECRET_KEY": "x", "MEDIA_ROOT": folder}
        os.environ["DATABASE_URL"] = f"sqlite:///{folder}/bench.sqlite3"
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
        import django

        django.setup()
        _through_the_database()


def _through_the_database() -> None:
    from django.core.management import call_command
    from django.db import transaction
    from django.utils.timezone import now

    from finds.actions import rescreen_batch, start_rescreening
    from finds.actions.screening import screen_find
    from finds.models import Find
    from finds.pack_change import look_at
    from tests import make

    call_command("migrate", verbosity=0)
    make.club()
    leader = make.person()
    hunt = make.hunt(leader=leader, state="running")
    with transaction.atomic():
        finds = [make.find(hunt, leader, is_coin="no", year_from=1600, year_to=1650) for _ in range(KEPT)]
    start = time.perf_counter()
    for find in finds:
        with transaction.atomic():
            screen_find(find, by=leader, at=now())
    print(
        f"database: {1000 * (time.perf_counter() - start) / KEPT:.1f} ms a find, screened and kept one by one"
    )
    Find.objects.update(judged_by="packs of before")
    start = time.perf_counter()
    look_at(list(Find.objects.all()), at=now())
    print(f"database: {1000 * (time.perf_counter() - start) / KEPT:.1f} ms a find, looked at without keeping")
    run = start_rescreening(by=None, at=now())
    assert run is not None
    start = time.perf_counter()
    while rescreen_batch(run.pk, by=None, at=now()):
        pass
    print(f"database: {1000 * (time.perf_counter() - start) / KEPT:.1f} ms a find, screened again in batches")


def main() -> None:
    rng = random.Random(1)
    finds = [some_find(rng) for _ in range(FINDS)]
    alone(finds)
    in_groups(finds)
    hoard()
    if "--database" in sys.argv[1:]:
        database()


if __name__ == "__main__":
    main()
