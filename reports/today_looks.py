"""The section of Today about accounts that looked at very many locked places."""

from datetime import datetime

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from people.models import UnusualReading, User
from people.rights import Right
from reports.today_sections import Found, Item, first_of


def unusual(user: User, at: datetime) -> Found:
    """What nobody has asked about yet, for those who read the trail; nobody is asked about their own looks."""
    if not user.holds(Right.SEE_AUDIT):
        return Found()

    def item(row: UnusualReading) -> Item:
        words = _(
            "%(row_places)s different places within %(row_within)s, %(row_on)s: ask what it was for"
        ) % {"row_places": row.places, "row_within": _(row.within), "row_on": date_format(row.on, "j M Y")}
        return Item("late", row.reader.name, words, reverse("finds:look_list"))

    rows = UnusualReading.objects.open().exclude(reader=user).select_related("reader")
    return first_of(rows.order_by("noticed_at", "pk"), item)
