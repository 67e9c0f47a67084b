"""Sections of Today about the law itself: packs that changed, and places whose law is not known here."""

from datetime import datetime

from django.db.models import Count
from django.urls import reverse
from django.utils.translation import ngettext as _n

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
            _n(
                "%(row_before)s → %(row_after)s: %(row_finds)s find judged by an older one",
                "%(row_before)s → %(row_after)s: %(row_finds)s finds judged by an older one",
                row.finds,
            )
            % {"row_before": row.before, "row_after": row.after, "row_finds": row.finds},
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
            _n(
                "no rules of law held for this place: %(row)s find not screened; ask its heritage authority",
                "no rules of law held for this place: %(row)s finds not screened; ask its heritage authority",
                row["finds"],
            )
            % {"row": row["finds"]},
            reverse("permissions:site_detail", args=[row["site__pk"]]),
        )
        for row in rows.order_by("site__code")[:SHOWN]
    ]
    return Found(items, rows.count())
