"""Send what is in the outbox: claim a letter, hand it to the mail server, keep what came of it. Never twice."""

import random
from collections import Counter
from collections.abc import Callable, Iterable
from contextlib import suppress
from datetime import datetime, timedelta

from django.core.mail import get_connection
from django.core.mail.backends.base import BaseEmailBackend
from django.db import transaction
from django.db.models import Case, F, Value, When

from people.languages import speaking
from people.letter_kinds import OVERTAKING
from people.mail_errors import LAST_TRY, Failure, Trouble, judge, wait_after
from people.mail_message import message_of, sender_now
from people.models import Letter

Clock = Callable[[], datetime]
SOON_WAIT_S = 5
"""Seconds a mail server may take for one answer while somebody waits for a page."""
SOON_IN_ALL = timedelta(seconds=10)
DOWN_FOR = timedelta(minutes=1)
BATCH = 200
KEEP_WORDS = timedelta(days=30)
KEEP_ROWS = timedelta(days=365)


def send_soon(letter_ids: list[int], *, clock: Clock) -> None:
    """One quick try of new letters after their transaction is kept; what does not leave now is in the queue.

    Not tried while the mail server is known to be in trouble: a page must not wait for it again and again.
    """
    until = clock() + SOON_IN_ALL
    down = Letter.objects.unsettled().filter(trouble=Trouble.SERVER, failed_at__gt=clock() - DOWN_FOR)
    if not down.exists():
        _send(letter_ids, clock=clock, until=until, connection=get_connection(timeout=SOON_WAIT_S))


def send_due(*, clock: Clock, kinds: Iterable[str] = (), stop: Callable[[], bool] = bool) -> Counter[str]:
    """One pass over what is due, alarms and accounts first, else the oldest first; how many of which outcome.

    A server in trouble ends the pass. A letter that leaves proves the server well, so what waited for it alone is
    tried in the same pass. `stop` is asked between letters.
    """
    counts: Counter[str] = Counter()
    while not stop():
        rows = Letter.objects.due(clock())
        if chosen := list(kinds):
            rows = rows.filter(kind__in=chosen)
        first = Case(When(kind__in=OVERTAKING, then=Value(0)), default=Value(1))
        ids = list(rows.order_by(first, "pk").values_list("pk", flat=True)[:BATCH])
        done = _send(ids, clock=clock, connection=get_connection(), stop=stop)
        counts += done
        if done["sent"]:
            Letter.objects.waiting().filter(trouble=Trouble.SERVER).update(next_try_at=clock())
        if done["server"] or not done["sent"]:
            break
    return counts


def _send(
    letter_ids: Iterable[int],
    *,
    clock: Clock,
    connection: BaseEmailBackend,
    until: datetime | None = None,
    stop: Callable[[], bool] = bool,
) -> Counter[str]:
    counts: Counter[str] = Counter()
    sender = sender_now()
    try:
        for pk in letter_ids:
            if stop() or (until is not None and clock() > until):
                break
            letter = claim(pk, at=clock())
            if letter is None:
                continue
            failure = _hand_over(letter, sender, connection)
            counts[settle(letter, failure, at=clock())] += 1
            if failure is not None and failure.trouble is Trouble.SERVER:
                break
    finally:
        with suppress(OSError):
            connection.close()
    return counts


def claim(letter_id: int, *, at: datetime) -> Letter | None:
    """Take the letter into this process's hands, or None where another has it, it is not due or not first in line.

    One conditional UPDATE in a transaction of its own: both databases let exactly one of two through, and what is
    claimed is on disk before the mail server hears of it.
    """
    with transaction.atomic(durable=True):
        free = Letter.objects.due(at).first_in_line(at).filter(pk=letter_id)
        taken = free.update(claimed_at=at, tries=F("tries") + 1, is_unsure=False)
    return Letter.objects.get(pk=letter_id) if taken else None


def _hand_over(letter: Letter, sender: str, connection: BaseEmailBackend) -> Failure | None:
    """Give the letter to the mail server. None when it was taken."""
    try:
        connection.open()  # so that sending does not close it: what goes wrong in closing is no failure
        connection.send_messages([message_of(letter, sender)])
    except Exception as error:  # whatever it is, the row says so and the next letter has its turn
        with speaking(""):
            return judge(error)
    return None


def settle(letter: Letter, failure: Failure | None, *, at: datetime) -> str:
    """Keep what came of a try, if the claim is still this one's; the word for it.

    One of sent, unsure, later, never and server.
    """
    mine = Letter.objects.unsettled().filter(pk=letter.pk, claimed_at=letter.claimed_at)
    if failure is None:
        mine.update(sent_at=at, text="", html="", trouble=Trouble.NONE, last_error="", is_unsure=False)
        return "sent"
    said = {"failed_at": at, "trouble": failure.trouble, "last_error": failure.words}
    if failure.is_unsure:
        mine.update(is_unsure=True, **said)
        return "unsure"
    share = random.random()  # noqa: S311 - spreads tries in time, guards nothing
    next_try = at + wait_after(letter.tries, is_alarm=letter.is_alarm, share=share)
    over = failure.trouble is Trouble.NEVER or (letter.tries >= LAST_TRY and not letter.is_alarm)
    mine.update(claimed_at=None, next_try_at=next_try, gave_up_at=at if over else None, **said)
    return failure.trouble.value


def tidy(*, at: datetime) -> None:
    """Put aside what is out of date; empty and at last forget what is long settled."""
    gone = {"gave_up_at": at, "is_out_of_date": True, "text": "", "html": "", "last_error": ""}
    Letter.objects.out_of_date(at).update(**gone)
    old = Letter.objects.filter(made_at__lte=at - KEEP_WORDS, sent_at=None).exclude(text="", html="")
    old.filter(gave_up_at=None).update(gave_up_at=at, text="", html="")
    old.update(text="", html="")
    Letter.objects.filter(made_at__lte=at - KEEP_ROWS).delete()
