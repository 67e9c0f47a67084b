"""Screen finds that are new, with one write for all of a kind; the answers are those of one after the other."""

from collections.abc import Sequence

from finds.actions.drills import open_stops
from finds.actions.screening import Judged, judge_together, look_into, mark_judged, screening_row
from finds.import_ground import portions
from finds.legal import facts_of
from finds.models import Find, ScreeningRecord


def screen_new(finds: Sequence[Find]) -> None:
    """Screen finds that were just recorded, so each stands alone: no group, no case, no earlier answer.

    Each by whom and when it says that it was recorded. Cases, locks and drills are opened one by one, for they are
    few. Inside the transaction that made the finds.
    """
    for part in portions([find.pk for find in finds]):
        rows = Find.objects.filter(pk__in=part).select_related(
            "site", "hunt", "hole", "finder", "recorded_by"
        )
        rows = rows.defer("site__boundary", "hunt__gate_answer", "hunt__briefing")
        _screen(list(rows.prefetch_related("materials", "site__protected_checks").order_by("pk")))


def screen_recorded(find: Find) -> Find:
    """Screen one find that was recorded in this transaction; returned as read anew, with site and materials.

    Its hunt and its people are those in hand: the hunt's row is locked.
    """
    rows = Find.objects.select_related("site").defer("site__boundary")
    read = rows.prefetch_related("materials", "site__protected_checks").get(pk=find.pk)
    read.hunt, read.finder, read.recorded_by = find.hunt, find.finder, find.recorded_by
    _screen([read])
    return read


def _screen(finds: Sequence[Find]) -> None:
    judged = [
        Judged(find, facts, screening, screening_row(find, facts, screening, find.recorded_at), None)
        for find in finds
        for facts, screening in judge_together([find], at=find.recorded_at).values()
    ]
    ScreeningRecord.objects.bulk_create(each.row for each in judged)
    mark_judged(finds, judged)
    for find in finds:
        # What must stop everything stops it under any law, also where none is known.
        open_stops(find, facts_of(find), by=find.recorded_by, at=find.recorded_at)
    for each in judged:
        if each.duty:
            look_into([each], by=each.find.recorded_by, at=each.find.recorded_at)
