"""Let go of what was only held for a while."""

from datetime import datetime

from django.core.files.storage import Storage, default_storage
from django.db import transaction

from keeping.retention import RULES, Rule, unfinished_photos
from keeping.strays import stray_files
from keeping.trail import note
from people import outbox
from permissions.models import LinkCode


@transaction.atomic
def tidy_up(*, via: str, at: datetime) -> dict[str, int]:
    """Apply every rule of `keeping.retention`, all or none; how many rows each met, by key.

    Run twice, it finds nothing the second time. The trail keeps the counts, where there were any.
    """
    counts = {rule.key: _apply(rule, at) for rule in RULES}
    if any(counts.values()):
        note("club.tidy", via=via, at=at, **{key: count for key, count in counts.items() if count})
    return counts


def _apply(rule: Rule, at: datetime) -> int:
    rows = rule.rows(at)
    count = rows.count()
    if rule.key == "letters":
        outbox.tidy(at=at)
        return count
    if rule.key == "parts":
        waiting = list(unfinished_photos(at).select_for_update(of=("self",)).values_list("pk", flat=True))
        rows.delete()
        unfinished_photos(at).filter(pk__in=waiting).update(received=0)
        return count
    if rule.key == "landholder_links":
        LinkCode.objects.filter(link__in=rows.values("pk")).delete()
    rows.delete()
    return count


@transaction.atomic
def tidy_files(*, via: str, at: datetime, storage: Storage = default_storage) -> int:
    """Delete files that no row names; how many. The trail keeps the count, where there were any."""
    names = stray_files(at, storage)
    for name in names:
        storage.delete(name)
    if names:
        note("club.tidy", via=via, at=at, files=len(names))
    return len(names)
