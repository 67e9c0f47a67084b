"""When the looks of one account at locked places are more than its work needs. Pure.

House figures, not a standard's. A same-find group lies in one place and counts once, so a look at a case, its report
and its copy is one place however many objects it has. A sitting of the committee goes through its running cases, and
a club has a handful of them at a time: ten different places in an hour, or twenty-five in a day, is somebody who
reads the record and does not work on it, or a stolen session. It says nothing about why; a person asks.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from tongue import noop


@dataclass(frozen=True, slots=True)
class Window:
    """`places` different places within `span` are unusual."""

    span: timedelta
    places: int
    words: str


WINDOWS = (Window(timedelta(hours=1), 10, noop("an hour")), Window(timedelta(days=1), 25, noop("a day")))
LONGEST = max(window.span for window in WINDOWS)


@dataclass(frozen=True, slots=True)
class Unusual:
    """How many different places were looked at since when, and in how long that is too many."""

    places: int
    since: datetime
    within: str


def unusual(looks: Iterable[tuple[datetime, str]], *, at: datetime) -> Unusual | None:
    """What is unusual about the looks (when, which place) that one account took up to `at`; None if nothing is.

    The shortest window that is too full answers. A look exactly one window ago is over.
    """
    kept = list(looks)
    for window in WINDOWS:
        recent = [(when, place) for when, place in kept if at - window.span < when <= at]
        places = {place for _, place in recent}
        if len(places) >= window.places:
            return Unusual(len(places), min(when for when, _ in recent), window.words)
    return None
