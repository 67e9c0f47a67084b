"""How a permission shared the value of finds on a day gone by: today's terms with every later change taken back."""

from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

from django.utils.timezone import make_aware

from people.audit import subject_of
from people.models import AuditEntry
from permissions.agreed import sharing_of
from permissions.models import Permission
from permissions.terms import Sharing

NUMBERS = ("share_percent", "share_threshold", "organiser_percent")
WORDS = ("share_wording", "share_rule", "share_unit")


def sharing_on(permission: Permission, day: date) -> tuple[Sharing, bool]:
    """The terms of sharing at the end of `day`, and whether they were changed since; one query.

    The trail keeps each change of terms with the value before it, so the earliest later change of a term tells what
    it was. A change made on the day itself counts as made for that day.
    """
    after = make_aware(datetime.combine(day, time.max))
    rows = AuditEntry.objects.filter(subject=subject_of(permission), verb="permission.change", at__gt=after)
    then: dict[str, Any] = {}
    for changes in rows.order_by("-at", "-pk").values_list("changes", flat=True):
        for name, (before, _) in changes.get("values", {}).items():
            if name in NUMBERS:
                then[name] = Decimal(before)
            elif name in WORDS:
                then[name] = before
    now = {name: getattr(permission, name) for name in (*NUMBERS, *WORDS)}
    was = Permission(**(now | then))
    return sharing_of(was), sharing_of(was) != sharing_of(permission)
