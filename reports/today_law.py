"""Sections of Today about the law itself: packs that changed, and places whose law is not known here."""

from datetime import datetime

from django.db.models import Count
from django.urls import reverse

from finds.pack_change import waiting_finds, without_pack
from people.models import User
from people.rights import Right
from reports.today_sections import SHOWN, Found, Item


def packs_changed(user: User, at: datetime) -> Found:
    """Finds that older law packs judged, for the committee."""
    if not user.holds(Right.REVIEW_CASES):
        return Found()
    rows = waiting_finds()
    items = [
        Item(
            "soon",
            row.title,
            f"{row.before} → {row.after}: {row.finds} find{'s' if row.finds != 1 else ''} judged by an older one",
            reverse("finds:pack_list"),
        )
        for row in rows[:SHOWN]
    ]
    return Found(items, len(rows))


def law_unknown(user: User, at: datetime) -> Found:
    """Finds in a place without a law pack: nothing can be said about duties, so somebody has to ask."""
    if not user.holds(Right.REVIEW_CASES):
        return Found()
    rows = (
        without_pack().order_by().values("site__pk", "site__code", "site__name").annotate(finds=Count("pk"))
    )
    items = [
        Item(
            "late",
            f"{row['site__code']} {row['site__name']}",
            f"no law pack for this place: {row['finds']} find{'s' if row['finds'] != 1 else ''} not screened; "
            "ask its heritage authority",
            reverse("permissions:site_detail", args=[row["site__pk"]]),
        )
        for row in rows.order_by("site__code")[:SHOWN]
    ]
    return Found(items, rows.count())
