"""Same-find groups: a person's decision, with reasons, that objects were left together."""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.db import transaction

from finds.actions.screening import screen_find
from finds.models import Find, FindGroup
from people import audit
from people.models import User
from people.rights import Right, require


class GroupError(Exception):
    """These finds cannot be put into one group."""


@transaction.atomic
def make_group(numbers: Sequence[str], *, by: User, at: datetime, reasons: str, client_id: UUID) -> FindGroup:
    """Put the finds with these numbers into one same-find group and screen each again.

    A find that is in another group brings that whole group along. Raises GroupError naming numbers that
    are not there, or when fewer than two finds remain.
    """
    require(by, Right.REVIEW_CASES)
    there = FindGroup.objects.filter(client_id=client_id).first()
    if there is not None:
        return there
    finds = list(Find.objects.select_for_update(of=("self",)).filter(number__in=numbers, withdrawn_at=None))
    missing = sorted(set(numbers) - {find.number for find in finds})
    if missing:
        raise GroupError(f"There is no find {', '.join(missing)}; check the number on the bag.")
    if len(finds) < 2:
        raise GroupError("A same-find group needs at least two finds; give their numbers.")
    old = {find.group_id for find in finds if find.group_id}
    group = FindGroup.objects.create(client_id=client_id, reasons=reasons, made_at=at, made_by=by)
    members = Find.objects.filter(pk__in=[f.pk for f in finds]) | Find.objects.filter(group_id__in=old)
    keys = list(members.values_list("pk", flat=True))
    Find.objects.filter(pk__in=keys).update(group=group)
    audit.record("group.make", group, by=by, at=at, finds=sorted(numbers))
    for find in Find.objects.filter(pk__in=keys).order_by("found_at", "pk"):
        screen_find(find, by=by, at=at)
    return group
