"""Addresses that let the other side sign a hand-over, and photographs of the condition of its objects."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from finds.actions.custody import CustodyError
from finds.actions.hand_overs import may_manage
from finds.models import ConditionPhoto, HandOver, HandOverItem, HandOverLink
from finds.states import HandOverState
from hunts.photo_rows import keep_photo
from people import audit
from people.models import User
from web.photos import TakenPhoto
from web.taken import create_once


@transaction.atomic
def make_hand_over_link(
    hand_over_id: int, side: str, *, by: User, at: datetime, expires_at: datetime, client_id: UUID
) -> HandOverLink:
    """Make an address for one side; an earlier one of that side ends. Raises CustodyError for one that has ended."""
    row = HandOver.objects.select_for_update(of=("self",)).get(pk=hand_over_id)
    may_manage(row, by)
    if row.state != HandOverState.PROPOSED:
        raise CustodyError(
            _("%(row_number)s was %(row_state)s, so nobody signs it any more.")
            % {"row_number": row.number, "row_state": _(row.state)}
        )
    link, made = create_once(
        HandOverLink,
        client_id=client_id,
        hand_over=row,
        side=side,
        made_at=at,
        made_by=by,
        expires_at=expires_at,
    )
    if made:
        row.links.filter(side=side, revoked_at__isnull=True).exclude(pk=link.pk).update(revoked_at=at)
        audit.record("hand_over.link", row, by=by, at=at, side=side, link=link.pk)
    return link


@transaction.atomic
def revoke_hand_over_link(link_id: int, *, by: User, at: datetime) -> HandOverLink:
    """End an address at once. Twice keeps the first time."""
    link = HandOverLink.objects.select_for_update(of=("self",)).select_related("hand_over").get(pk=link_id)
    may_manage(link.hand_over, by)
    if link.revoked_at is None:
        link.revoked_at = at
        link.save(update_fields=["revoked_at"])
        audit.record("hand_over.link_end", link.hand_over, by=by, at=at, link=link.pk)
    return link


@transaction.atomic
def hand_over_opened(link: HandOverLink, *, via: str, at: datetime) -> None:
    """Note when the address was first opened, so that the club sees whether it was read."""
    HandOverLink.objects.filter(pk=link.pk, opened_at=None).update(opened_at=at)


@transaction.atomic
def add_condition_photos(
    item_id: int, stage: str, photos: Iterable[TakenPhoto], *, by: User, at: datetime
) -> list[ConditionPhoto]:
    """Keep how an object looked when it went or came. A photograph that is there already is not doubled."""
    item = HandOverItem.objects.select_related("hand_over").get(pk=item_id)
    HandOver.objects.select_for_update(of=("self",)).get(pk=item.hand_over_id)
    may_manage(item.hand_over, by)
    rows = []
    for taken in photos:
        known = {"item": item, "stage": stage, "original_sha256": taken.sha256}
        there = ConditionPhoto.objects.filter(**known).first()
        rows.append(
            there or keep_photo(ConditionPhoto(item=item, stage=stage), taken, prefix="cond", by=by, at=at)
        )
    audit.record("hand_over.photos", item.hand_over, by=by, at=at, added=len(rows), stage=stage)
    return rows
