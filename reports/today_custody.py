"""Custody on Today: what is due back, what waits for a receiver, what did not arrive, and boxes to look at."""

from datetime import datetime, timedelta

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from finds.box_page import boxes_shown
from finds.models import CustodyEntry, HandOver, HandOverItem
from people.models import User
from people.rights import Right
from reports.today_sections import BACK_SOON_DAYS, SHOWN, Found, Item, days_left, first_of, status_of

WAITS_LONG = timedelta(days=14)


def due_back(user: User, at: datetime) -> Found:
    """Objects due back from whoever holds them."""
    if not user.holds(Right.MOVE_CUSTODY):
        return Found()
    today = localdate(at)

    def item(row: CustodyEntry) -> Item:
        words = _("with %(holder_for)s, due back %(days_left)s") % {
            "holder_for": row.holder_for(user),
            "days_left": days_left(row.due_back, today),
        }
        url = reverse("finds:detail", args=[row.find_id])
        return Item(status_of(row.due_back, today), str(row.find), words, url, row.due_back)

    rows = CustodyEntry.objects.visible_to(user).current().overdue(today + timedelta(BACK_SOON_DAYS))
    return first_of(rows.select_related("find").order_by("due_back", "pk"), item)


def waiting(user: User, at: datetime) -> Found:
    """Hand-overs that the receiver has not accepted: of the club for those who keep custody, else one's own."""
    rows = HandOver.objects.visible_to(user).waiting()
    if not user.holds(Right.MOVE_CUSTODY):
        rows = rows.filter(proposed_by=user)

    def item(row: HandOver) -> Item:
        words = _("for %(row_to_shown)s, waiting since %(row_proposed_at)s") % {
            "row_to_shown": row.to_shown,
            "row_proposed_at": date_format(row.proposed_at, "j M Y"),
        }
        status = "late" if row.proposed_at < at - WAITS_LONG else "soon"
        return Item(status, row.number, words, reverse("finds:hand_over", args=[row.pk]))

    return first_of(rows.order_by("proposed_at", "pk"), item)


def not_received(user: User, at: datetime) -> Found:
    """What a receiver says did not arrive and nobody has answered."""
    if not user.holds(Right.MOVE_CUSTODY):
        return Found()

    def item(row: HandOverItem) -> Item:
        url = reverse("finds:hand_over", args=[row.hand_over_id])
        return Item(
            "late",
            str(row.find),
            _("not received by %(hand_over_to_shown)s: %(row_why)s")
            % {"hand_over_to_shown": row.hand_over.to_shown, "row_why": row.why},
            url,
        )

    rows = HandOverItem.objects.asking().select_related("find", "hand_over")
    return first_of(rows.order_by("pk"), item)


def boxes(user: User, at: datetime) -> Found:
    """Boxes whose card is to be read, or whose gel is to be dried."""
    if not user.holds(Right.MOVE_CUSTODY):
        return Found()
    asking = [shown for shown in boxes_shown(localdate(at)) if shown.care.status != "open"]
    asking.sort(key=lambda shown: (shown.care.status != "late", shown.care.due or localdate(at)))
    items = [
        Item(
            s.care.status,
            _("Box %(s_box)s") % {"s_box": s.box},
            s.care.words,
            reverse("finds:box", args=[s.box.pk]),
            s.care.due,
        )
        for s in asking[:SHOWN]
    ]
    return Found(items, len(asking))
