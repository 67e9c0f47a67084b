"""Hunt codes: a running number within the year, given in the order of planning."""

from datetime import date

from hunts.models import Hunt
from people.models import Club


def next_code(on: date) -> str:
    """The next free code of the year of `on`, such as H2026-007. Call it inside the planning transaction.

    The club's row is the lock: two people who plan at once get two numbers.
    """
    Club.objects.select_for_update().filter(pk=1).first()
    prefix = f"H{on.year}-"
    taken = Hunt.objects.filter(code__startswith=prefix).values_list("code", flat=True)
    numbers = (int(tail) for code in taken if (tail := code.removeprefix(prefix)).isdecimal())
    return f"{prefix}{max(numbers, default=0) + 1:03}"
