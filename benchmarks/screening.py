"""Processor time for screening 10,000 finds, and one hoard whose records are all screened against each other.

Run as `python -m benchmarks.screening`.
"""

import random
import time
from datetime import date, timedelta

from law.facts import Assay, FindFacts
from law.pack import load_pack
from law.screen import screen, screen_same_find
from law.tri import Tri

FINDS = 10_000
HOARD = 300


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


def main() -> None:
    rng = random.Random(1)
    finds = [some_find(rng) for _ in range(FINDS)]
    for code in ("england", "scotland", "ireland"):
        pack = load_pack(code)
        start = time.process_time()
        for facts in finds:
            screen(facts, pack=pack, on=date(2025, 12, 1))
        print(f"{code}: {FINDS} finds in {time.process_time() - start:.2f} s")
    coin = FindFacts(
        found_on=date(2025, 1, 1), is_coin=Tri.YES, same_find=Tri.YES, made_from=200, made_to=300
    )
    start = time.process_time()
    screen_same_find([coin] * HOARD, pack=load_pack("england"), on=date(2025, 12, 1))
    print(f"england: hoard of {HOARD}, each against the others, in {time.process_time() - start:.2f} s")


if __name__ == "__main__":
    main()
