"""Screen finds that are new, with one write for all of a kind; the answers are those of one after the other."""

from collections.abc import Sequence
from datetime import datetime

from finds.actions.drills import open_stops
from finds.actions.screening import Judged, judge_together, look_into, mark_judged, screening_row
from finds.import_ground import portions
from finds.legal import facts_of
from finds.models import Find, ScreeningRecord
from people.models import User


def screen_new(finds: Sequence[Find], *, by: User, at: datetime) -> None:
    """Screen finds that were recorded at this moment, so each stands alone: no group, no case, no earlier answer.

    Cases, locks and drills are opened one by one, for they are few. Inside the transaction that made the finds.
    """
    for part in portions([find.pk for find in finds]):
        _screen_part(part, by=by, at=at)


def _screen_part(keys: list[int], *, by: User, at: datetime) -> None:
    rows = Find.objects.filter(pk__in=keys).select_related("site", "hunt", "hole", "finder", "recorded_by")
    rows = rows.defer("site__boundary", "hunt__gate_answer", "hunt__briefing")
    finds = rows.prefetch_related("materials", "site__protected_checks").order_by("pk")
    _screen_read(list(finds), by=by, at=at)


def screen_recorded(find: Find, *, by: User, at: datetime) -> Find:
    """Screen one find that was recorded in this transaction; returned as read anew, with site and materials.

    Its hunt and its finder are those in hand: the hunt's row is locked.
    """
    rows = Find.objects.select_related("site").defer("site__boundary")
    read = rows.prefetch_related("materials", "site__protected_checks").get(pk=find.pk)
    read.hunt, read.finder = find.hunt, find.finder
    _screen_read([read], by=by, at=at)
    return read


def _screen_read(finds: Sequence[Find], *, by: User, at: datetime) -> None:
    judged = [
        Judged(find, facts, screening, screening_row(find, facts, screening, at), None)
        for find in finds
        for facts, screening in judge_together([find], at=at).values()
    ]
    ScreeningRecord.objects.bulk_create(each.row for each in judged)
    mark_judged(finds, judged)
    for find in finds:
        # What must stop everything stops it under any law, also where none is known.
        open_stops(find, facts_of(find), by=by, at=at)
    for each in judged:
        if each.duty:
            look_into([each], by=by, at=at)
