"""Associated finds: what somebody says belongs together, and how. Nothing in law follows; groups are for that."""

from datetime import datetime
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from finds.models import Find, FindLink
from people import audit
from people.models import User
from people.rights import Right


class LinkError(Exception):
    """These two cannot be associated; the message names the number."""


@transaction.atomic
def link_finds(find_id: int, number: str, *, by: User, at: datetime, note: str, client_id: UUID) -> FindLink:
    """Associate a find with the one of that number; the same pair again changes its note.

    Raises LinkError for a number that `by` sees no find under, or the find's own; PermissionDenied.
    """
    there = FindLink.objects.filter(client_id=client_id).first()
    if there is not None:
        return there
    find = _held(find_id, by)
    wanted = number.strip().upper()
    other = Find.objects.visible_to(by).filter(number=wanted).first()
    if other is None:
        raise LinkError(
            _("“%(number)s” is not the number of a find that you may see; give it as on the bag.")
            % {"number": number}
        )
    if other.pk == find.pk:
        raise LinkError(
            _("%(wanted)s is this find itself; give the number of the other one.") % {"wanted": wanted}
        )
    first, second = sorted((find, other), key=lambda each: each.pk)
    link, _rest = FindLink.objects.update_or_create(
        first=first,
        second=second,
        defaults={"note": note},
        create_defaults={"note": note, "made_at": at, "made_by": by, "client_id": client_id},
    )
    audit.record("find.link", find, by=by, at=at, other=other.number, note=note)
    return link


@transaction.atomic
def unlink_finds(link_id: int, find_id: int, *, by: User, at: datetime) -> None:
    """Take an association off, from the page of the find `find_id`; nothing happens when it is gone already."""
    find = _held(find_id, by)
    link = FindLink.objects.of(find).select_related("first", "second").filter(pk=link_id).first()
    if link is not None:
        other = link.other(find)
        link.delete()
        audit.record("find.unlink", find, by=by, at=at, other=other.number)


def _held(find_id: int, by: User) -> Find:
    """The find, locked: two people who associate the same pair at once make one row."""
    find = Find.objects.select_for_update(of=("self",)).select_related("hunt").get(pk=find_id)
    if by.pk not in {find.finder_id, find.hunt.leader_id} and not by.holds(Right.SEE_ALL_FINDS):
        raise PermissionDenied(
            _("Only the finder, the hunt's leader, the secretary and the committee say that.")
        )
    return find
