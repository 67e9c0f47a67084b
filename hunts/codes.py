"""Hunt codes: a running number within the year, given in the order of planning."""

from collections.abc import Iterator
from datetime import date
from itertools import count

from hunts.models import Hunt
from people.models import Club


def next_code(on: date) -> str:
    """The next free code of the year of `on`, such as H2026-007. Call it inside the planning transaction.

    The club's row is the lock: two people who plan at once get two numbers.
    """
    Club.objects.select_for_update().filter(pk=1).first()
    return next(codes_from(on.year))


def codes_from(year: int) -> Iterator[str]:
    """The codes that the next hunts of a year would get, in order: a look, for nothing is locked or given."""
    prefix = f"H{year}-"
    taken = Hunt.objects.filter(code__startswith=prefix).values_list("code", flat=True)
    numbers = (int(tail) for code in taken if (tail := code.removeprefix(prefix)).isdecimal())
    return (f"{prefix}{number:03}" for number in count(max(numbers, default=0) + 1))
