"""What somebody does in a fault run: how it is sent, when it counts as acknowledged, and what must be there then."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.db.models import QuerySet
from django.urls import reverse

from people.audit import subject_of
from people.models import AuditEntry, User
from tests.faults.wire import Answer, Asked

Send = Callable[[Asked], Answer | None]
Check = Callable[[bool], Iterable[str]]


@dataclass
class Errand:
    """`go` sends it and says whether it was acknowledged; `check` says what is wrong with what is there afterwards."""

    kind: str
    who: User | None
    go: Callable[[Send], bool]
    check: Check
    at_s: float = 0.0


def taken(answer: Answer | None) -> bool:
    """Forms that were taken lead on to a page that says nothing in red; one that is shown again was not taken."""
    if answer is None or answer.status != 302 or answer.refused:
        return False
    return not answer.location.startswith(reverse(settings.LOGIN_URL))  # a jump of the clock ends sign-ins


def posted(kind: str, who: User | None, asked: Asked, check: Check) -> Errand:
    """An errand of one form."""
    return Errand(kind, who, lambda send: taken(send(asked)), check)


def exactly_once(what: str, rows: QuerySet[Any], acknowledged: bool) -> Iterator[str]:
    """What was acknowledged is there; nothing is there twice."""
    count = rows.count()
    if count > 1:
        yield f"{what} is there {count} times"
    if acknowledged and not count:
        yield f"{what} was acknowledged and is not there"


def told_once(verb: str, subject: Any) -> Iterator[str]:
    """The trail has one line for what happened once."""
    lines = AuditEntry.objects.filter(verb=verb, subject=subject_of(subject)).count()
    if lines != 1:
        yield f"{subject} has {lines} lines “{verb}” in the trail"


def one_of(what: str, value: str, allowed: Iterable[str]) -> Iterator[str]:
    if value not in set(allowed):
        yield f"{what} is “{value}”"
