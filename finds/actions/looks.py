"""Looks at the exact places of locked finds: each is kept, and very many by one account are noticed."""

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction

from finds.models import Find, FindspotView
from people.actions import watch_reading
from people.looking import LONGEST
from people.models import User
from tongue import noop

# The names of pages and files, as they are kept; they are said in the reader's language where looks are listed.
WHERE = (
    noop("find page"), noop("case page"), noop("incident page"), noop("hole page"), noop("copy of a report"),
    noop("heritage report"), noop("differences of reports"), noop("list for the officer"), noop("finds as CSV"),
    noop("issued report"), noop("issued report, PDF"), noop("issued report, data package"), noop("custody link"),
)  # fmt: skip


@transaction.atomic
def see_findspots(finds: Iterable[Find], *, by: User | None, at: datetime, where: str) -> None:
    """Record that `by` is shown the exact place of each of these locked finds on the page or file named `where`."""
    FindspotView.objects.bulk_create(FindspotView(find=find, by=by, at=at, where=where) for find in finds)
    if by is not None:
        watch_reading(by=by, at=at, looks=_looks_of(by, at))


def _looks_of(by: User, at: datetime) -> list[tuple[datetime, str]]:
    """When, and at which place: a same-find group is one."""
    rows = FindspotView.objects.filter(by=by, at__gt=at - LONGEST).order_by()
    seen = rows.values_list("at", "find_id", "find__group_id")
    return [(when, f"group:{group}" if group else f"find:{find}") for when, find, group in seen]
