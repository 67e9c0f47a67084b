"""The care checklist of a detector: after salt water, and before it lies unused for over a month. Pure.

Source: makers' manuals and hobby guides agree on the salt list; the storage list is common practice from memory,
and a machine's own manual goes before both.
"""

from calendar import month_name
from dataclasses import dataclass
from datetime import date, timedelta

from tongue import noop
from tongue import say as _

STORAGE_DAYS = 30


@dataclass(frozen=True, slots=True)
class Task:
    code: str
    words: str


SALT_TASKS = (
    Task("rinse", noop("Rinse coil, shaft and cable in fresh water")),
    Task("cover", noop("Take the coil cover off, rinse out the sand, dry both")),
    Task("lugs", noop("Look over cable, plug and coil lugs for cracks and salt")),
    Task(
        "wipe",
        noop("Wipe the control box with a damp cloth, never under a running tap unless its manual says so"),
    ),
    Task("dry", noop("Dry everything in the air before it goes into the bag")),
)
STORAGE_TASKS = (
    Task("cells", noop("Take loose cells out; leave a built-in battery about half charged")),
    Task("contacts", noop("Look at the battery contacts for green or white crust")),
    Task("shelter", noop("Keep it dry, away from frost and heat, nothing resting on the coil")),
    Task("quarterly", noop("Charge a built-in battery again every three months")),
)
OCCASIONS = {"salt": SALT_TASKS, "storage": STORAGE_TASKS}


@dataclass(frozen=True, slots=True)
class CareDue:
    """One checklist that is due: why, counted from which day, and what is still to do."""

    occasion: str
    since: date
    why: str
    todo: tuple[Task, ...]
    done: tuple[tuple[Task, date], ...]


def care_due(
    *,
    salt_on: date | None,
    used_on: date | None,
    ticked: dict[tuple[str, date, str], date],
    on: date,
) -> list[CareDue]:
    """The checklists due on `on`, with what is ticked; a list that is all ticked is due no more.

    `salt_on`: last day in wet salt sand or water. `used_on`: last day of use. `ticked`: done on which day, by
    occasion, its day and task.
    """
    lists = []
    if salt_on is not None and salt_on <= on:
        lists.append(
            _list("salt", salt_on, _("In salt water or wet sand on %(day)s") % {"day": _day(salt_on)}, ticked)
        )
    if used_on is not None and on - used_on > timedelta(STORAGE_DAYS):
        why = _("Not used since %(day)s, %(days)s days") % {"day": _day(used_on), "days": (on - used_on).days}
        lists.append(_list("storage", used_on, why, ticked))
    return [each for each in lists if each.todo]


def _day(day: date) -> str:
    return f"{day.day} {_(month_name[day.month])} {day.year}"


def _list(occasion: str, since: date, why: str, ticked: dict[tuple[str, date, str], date]) -> CareDue:
    done = tuple(
        (task, ticked[occasion, since, task.code])
        for task in OCCASIONS[occasion]
        if (occasion, since, task.code) in ticked
    )
    todo = tuple(task for task in OCCASIONS[occasion] if (occasion, since, task.code) not in ticked)
    return CareDue(occasion, since, why, todo, done)
