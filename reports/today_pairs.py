"""Sections of Today about pairs that may be one find: the committee's to look at, and what a finder is asked."""

from datetime import datetime

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n

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
    title = _n("%(count)s pair to look at", "%(count)s pairs to look at", count) % {"count": count}
    return Found(
        [
            Item(
                "soon",
                title,
                _("%(first)s may belong together") % {"first": first},
                reverse("finds:pair_list"),
            )
        ],
        1,
    )


def asked(user: User, at: datetime) -> Found:
    """What the committee asks whoever found the two, the longest waiting first."""

    def item(pair: PairSuggestion) -> Item:
        own = [find.number for find in (pair.first, pair.second) if find.finder_id == user.pk]
        words = _("were they left together? Asked %(pair_asked_at)s") % {
            "pair_asked_at": date_format(localtime(pair.asked_at), "j M Y")
        }
        return Item("soon", _(" and ").join(own), words, reverse("finds:pair_answer", args=[pair.pk]))

    rows = PairSuggestion.objects.visible_to(user).asked_of(user).order_by("asked_at", "pk")
    return first_of(rows.select_related("first", "second"), item)
