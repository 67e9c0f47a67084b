"""What the pages about storage boxes show."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, QuerySet
from django.utils.timezone import localtime

from finds.humidity import BoxCare, care_of
from finds.models import Box, BoxMove, BoxReading, Find
from people.models import User


@dataclass(frozen=True, slots=True)
class BoxShown:
    box: Box
    care: BoxCare
    held: int
    last: BoxReading | None


def boxes_shown(today: date, only: Box | None = None) -> list[BoxShown]:
    """Boxes in use (or the one asked for), what each asks today, and how many objects it holds; four queries."""
    rows = Box.objects.filter(pk=only.pk) if only else Box.objects.filter(retired_on__isnull=True)
    boxes = list(rows)
    held = BoxMove.objects.current().filter(box__in=boxes).order_by().values("box").annotate(n=Count("pk"))
    counts = {row["box"]: row["n"] for row in held}
    read: dict[int, BoxReading] = {}
    gel: dict[int, date] = {}
    for reading in BoxReading.objects.filter(box__in=boxes).order_by("on", "pk"):
        if reading.humidity_percent is not None:
            read[reading.box_id] = reading
        if reading.gel_changed:
            gel[reading.box_id] = reading.on
    return [
        BoxShown(
            box, _care(box, read.get(box.pk), gel.get(box.pk), today), counts.get(box.pk, 0), read.get(box.pk)
        )
        for box in boxes
    ]


def _care(box: Box, last: BoxReading | None, gel_on: date | None, today: date) -> BoxCare:
    """A reading from before the gel was dried says nothing about the air in the box now."""
    dried_since = last is not None and (last.gel_changed or (gel_on is not None and gel_on > last.on))
    percent = None if last is None or dried_since else last.humidity_percent
    made_on = localtime(box.made_at).date()
    return care_of(box.kind, box.has_gel, made_on, last.on if last else None, percent, gel_on, today)


def inside(box: Box, user: User) -> QuerySet[Find]:
    """What lies in the box now, of what this reader may see."""
    finds = BoxMove.objects.current().filter(box=box).values("find")
    return Find.objects.visible_to(user).filter(pk__in=finds).order_by("number")
