"""Sections of Today about pairs that may be one find: the committee's to look at, and what a finder is asked."""

from datetime import datetime

from django.urls import reverse
from django.utils.timezone import localtime

from finds.models import PairSuggestion
from people.models import User
from people.rights import Right
from reports.today_sections import Found, Item, first_of


def pairs(user: User, at: datetime) -> Found:
    """How many pairs wait for somebody of the committee, in one line."""
    if not user.holds(Right.REVIEW_CASES):
        return Found()
    waiting = PairSuggestion.objects.visible_to(user).to_look_at()
    count = waiting.count()
    if not count:
        return Found()
    first = waiting.select_related("first", "second")[0]
    title = f"{count} pair{'s' if count > 1 else ''} to look at"
    return Found([Item("soon", title, f"{first} may belong together", reverse("finds:pair_list"))], 1)


def asked(user: User, at: datetime) -> Found:
    """What the committee asks whoever found the two, the longest waiting first."""

    def item(pair: PairSuggestion) -> Item:
        own = [find.number for find in (pair.first, pair.second) if find.finder_id == user.pk]
        words = f"were they left together? Asked {localtime(pair.asked_at):%-d %b %Y}"
        return Item("soon", " and ".join(own), words, reverse("finds:pair_answer", args=[pair.pk]))

    rows = PairSuggestion.objects.visible_to(user).asked_of(user).order_by("asked_at", "pk")
    return first_of(rows.select_related("first", "second"), item)
