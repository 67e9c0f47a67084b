"""Screen again the finds that older law packs judged: in batches, each one transaction, and every change kept."""

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction

from finds import (
    pack_change,  # the module: it reads finds.actions.screening, whichever of the two is loaded first
)
from finds.actions.groups import one_at_a_time
from finds.actions.screening import latest_of, same_find_of, screen_group
from finds.models import Find, RescreenedFind, Rescreening
from law.pack import pack_codes
from law.screening import Screening
from law.together import fingerprint
from people import audit
from people.models import User
from people.rights import Right, require

BATCH = 50  # finds in one transaction: a member who saves meanwhile waits for so many at most


@transaction.atomic
def start_rescreening(*, by: User | None, at: datetime) -> Rescreening | None:
    """The rescreening that is under way with the packs in force, or a new one; None when no find waits for one.

    Sent twice, or by two people at once, it is one. One that was under way with packs that have changed since ends
    here, and what is left of it goes into the new one. `by` is nobody for the command on the server.
    """
    if by is not None:
        require(by, Right.REVIEW_CASES)
    one_at_a_time()
    prints = {code: fingerprint(code) for code in pack_codes()}
    for run in Rescreening.objects.filter(finished_at=None):
        if run.prints == prints:
            return run
        _finish(run, by=by, at=at)
    waiting = pack_change.waiting_finds()
    if not waiting:
        return None
    run = Rescreening.objects.create(
        started_at=at,
        by=by,
        waiting=sum(row.finds for row in waiting),
        packs=[row.to_dict() for row in waiting],
        prints=prints,
    )
    audit.record("screening.again", run, by=by, at=at, finds=run.waiting)
    return run


@transaction.atomic
def rescreen_batch(run_id: int, *, by: User | None, at: datetime, size: int = BATCH) -> int:
    """Screen the next finds again and keep what changed; the number that still wait, 0 when the run has ended.

    Finds that somebody saves meanwhile are judged by that, and are not judged twice. Cases are opened and findspots
    locked as by any screening; nothing is unlocked or closed, and the earliest last day of a case stands.
    """
    if by is not None:
        require(by, Right.REVIEW_CASES)
    one_at_a_time()
    run = Rescreening.objects.select_for_update(of=("self",)).get(pk=run_id)
    if run.finished_at is not None:
        return 0
    done: set[int] = set()
    for find in pack_change.out_of_date().select_for_update(of=("self",)).order_by("pk")[:size]:
        if find.pk not in done:
            done |= _screen_again(run, find, by=by, at=at)
    left = pack_change.out_of_date().count()
    if not left:
        _finish(run, by=by, at=at)
    return left


def _screen_again(run: Rescreening, find: Find, *, by: User | None, at: datetime) -> set[int]:
    """Screen `find` and its group, and keep a line for each of them."""
    same = same_find_of(find)
    before = latest_of(same)
    rows = screen_group(find, by=by, at=at)
    kept = _already(run, rows)
    lines = []
    for pk, row in rows.items():
        changes = pack_change.changes_between(before.get(pk), Screening.from_dict(row.result))
        said = [change.to_dict() for change in changes]
        line = {"before": before.get(pk), "after": row, "changed": bool(changes), "changes": said}
        if pk not in kept:
            lines.append(RescreenedFind(run=run, find_id=pk, **line))
    RescreenedFind.objects.bulk_create(lines)
    return set(rows)


def _already(run: Rescreening, keys: Iterable[int]) -> set[int]:
    """Finds with a line in this run: a group that grew meanwhile is screened again, its old line stands."""
    return set(RescreenedFind.objects.filter(run=run, find__in=keys).values_list("find", flat=True))


def _finish(run: Rescreening, *, by: User | None, at: datetime) -> None:
    run.finished_at = at
    run.save(update_fields=["finished_at"])
    changed = RescreenedFind.objects.filter(run=run, changed=True).count()
    audit.record("screening.again.end", run, by=by, at=at, changed=changed)
