"""Hand-overs: each object has one holder at any time, and the ledger says who and since when."""

from collections.abc import Iterable
from datetime import date, datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from finds.models import CustodyEntry, Find
from finds.models.custody import Holder
from people import audit
from people.models import User
from people.rights import Right, require


class NotTheHolderError(Exception):
    """The object is not where the hand-over says it comes from."""


def first_holder(find: Find, *, by: User, at: datetime) -> CustodyEntry:
    """The finder holds a new find. Inside the recording transaction."""
    return first_holders([find], by=by, at=at)[0]


def first_holders(finds: Iterable[Find], *, by: User, at: datetime) -> list[CustodyEntry]:
    """Their finders hold new finds, in one write. Inside the recording transaction."""
    return CustodyEntry.objects.bulk_create(
        CustodyEntry(
            find=find,
            step=1,
            at=at,
            recorded_by=by,
            to_holder=Holder.FINDER,
            to_name=find.finder.name,
            purpose="Found",
        )
        for find in finds
    )


@transaction.atomic
def hand_over(
    find_id: int,
    *,
    by: User,
    at: datetime,
    after_step: int,
    to_holder: str,
    to_name: str,
    purpose: str,
    due_back: date | None = None,
    condition: str = "",
) -> CustodyEntry:
    """Add a hand-over from the present holder. `after_step` is the ledger step the person saw.

    Raises NotTheHolderError when somebody recorded another hand-over meanwhile, naming where the object is now.
    """
    find = Find.objects.select_for_update(of=("self",)).get(pk=find_id)
    if by.pk != find.finder_id:
        require(by, Right.MOVE_CUSTODY)
    last = find.custody.order_by("-step").first()
    if last is None:
        raise PermissionDenied(f"{find.number} has no custody record yet.")
    if last.step != after_step:
        raise NotTheHolderError(
            f"{find.number} has moved meanwhile: {last.to_name} ({last.get_to_holder_display()}) holds it since "
            f"{last.at:%-d %b %Y}. Look at the ledger and record the next hand-over from there."
        )
    entry = CustodyEntry.objects.create(
        find=find,
        step=last.step + 1,
        at=at,
        recorded_by=by,
        from_holder=last.to_holder,
        from_name=last.to_name,
        to_holder=to_holder,
        to_name=to_name,
        purpose=purpose,
        due_back=due_back,
        condition=condition,
    )
    audit.record("custody.move", find, by=by, at=at, to=to_holder)
    return entry
