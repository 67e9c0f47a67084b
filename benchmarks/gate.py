"""How fast the gate answers a whole year for 500 sites, beside a naive peer that asks it anew for every day.

Run: `python -m benchmarks.gate`. Target: the year of 500 sites x 366 days in under 1 s on one core. Times are of
the processor, so that a busy machine does not blur them.
"""

import resource
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from random import Random

from permissions.gate import (
    Answer,
    Capacity,
    ClosedPeriodFacts,
    ConsentFacts,
    Decision,
    FieldStateFacts,
    PartyFacts,
    PermissionFacts,
    PermissionState,
    SiteFacts,
    Tenure,
    Terms,
    VisitFacts,
    gate,
    year_of,
)

SITES, FIRST, DAYS = 500, date(2028, 1, 1), 366
LAST = FIRST + timedelta(days=DAYS - 1)
LOOK = VisitFacts(FIRST, planned=False)
Question = tuple[SiteFacts, PermissionFacts]


def question(number: int, rng: Random) -> Question:
    """A tenanted field: two consents, eight field states, shooting and nesting seasons, three shoot days."""
    owner = PartyFacts(f"landholder:{number}a", "Ada Holm", Capacity.OWNER)
    tenant = PartyFacts(f"landholder:{number}b", "Bert Storr", Capacity.OCCUPIER)
    given = FIRST - timedelta(days=rng.randrange(300))
    days = (FIRST + timedelta(days=rng.randrange(-60, 366)) for _ in range(8))
    states = tuple(
        FieldStateFacts(f"state:{number}.{n}", day, "wheat", "stubble", rng.choice(list(Answer)))
        for n, day in enumerate(days)
    )
    closed = (
        ClosedPeriodFacts(
            f"closed:{number}.p", "Pheasant", "season", date(2020, 10, 1), date(2020, 2, 1), True
        ),
        ClosedPeriodFacts(
            f"closed:{number}.n", "Nesting", "birds", date(2020, 3, 1), date(2020, 7, 31), True, Answer.ASK
        ),
        *(
            ClosedPeriodFacts(f"closed:{number}.{n}", "Shoot day", "shoot", day, day)
            for n, day in enumerate(FIRST + timedelta(days=rng.randrange(366)) for _ in range(3))
        ),
    )
    site = SiteFacts(
        f"site:{number}",
        f"Field {number}",
        "england",
        Tenure.LET,
        (owner, tenant),
        protected_checked_on=given,
        field_states=states,
        closed_periods=closed,
    )
    consents = tuple(
        ConsentFacts(
            f"consent:{number}{p.capacity}", p.landholder, p.capacity, given, ends=given + timedelta(days=450)
        )
        for p in (owner, tenant)
    )
    weekdays = rng.choice([None, frozenset({5, 6}), frozenset({6})])
    terms = Terms(weekdays=weekdays, max_heads=12, notice_hours=48)
    return site, PermissionFacts(
        f"permission:{number}", PermissionState.GRANTED, consents=consents, terms=terms
    )


def by_stretches(asked: Question) -> tuple[Decision, ...]:
    return year_of(*asked, LOOK, FIRST, LAST)


def day_by_day(asked: Question) -> tuple[Decision, ...]:
    return tuple(gate(*asked, replace(LOOK, on=FIRST + timedelta(days=n))) for n in range(DAYS))


def timed(
    label: str, judge: Callable[[Question], tuple[Decision, ...]], asked: list[Question]
) -> Counter[Answer]:
    start, count = time.process_time(), Counter[Answer]()
    for one in asked:
        count.update(d.answer for d in judge(one))
    took = time.process_time() - start
    print(f"{label:<22} {took:6.2f} s  {took / len(asked) / DAYS * 1e6:6.2f} us a day  {dict(count)}")
    return count


def main() -> None:
    rng = Random(20280101)
    asked = [question(n, rng) for n in range(SITES)]
    quick = timed("year_of", by_stretches, asked)
    naive = timed("naive, day by day", day_by_day, asked)
    assert quick == naive, "the two must agree"
    print(f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
