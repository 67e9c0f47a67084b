"""The section of Today about accounts that looked at very many locked places."""

from datetime import datetime

from django.urls import reverse

from people.models import UnusualReading, User
from people.rights import Right
from reports.today_sections import Found, Item, first_of


def unusual(user: User, at: datetime) -> Found:
    """What nobody has asked about yet, for those who read the trail; nobody is asked about their own looks."""
    if not user.holds(Right.SEE_AUDIT):
        return Found()

    def item(row: UnusualReading) -> Item:
        words = f"{row.places} different places within {row.within}, {row.on:%-d %b %Y}: ask what it was for"
        return Item("late", row.reader.name, words, reverse("finds:look_list"))

    rows = UnusualReading.objects.open().exclude(reader=user).select_related("reader")
    return first_of(rows.order_by("noticed_at", "pk"), item)
