"""The section of Today about letters that did not leave."""

from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _

from people.models import Letter, User
from people.rights import Right
from reports.today_sections import Found, Item, first_of


def letters(user: User, at: datetime) -> Found:
    """Letters that were given up, or of which nobody knows whether they left: the secretary decides."""
    if not user.holds(Right.MANAGE_CLUB):
        return Found()

    def item(row: Letter) -> Item:
        words = _("was refused") if row.gave_up_at else _("was perhaps sent; nobody knows")
        return Item(
            "late",
            _("%(row_words)s: to %(row_to)s") % {"row_words": row.words, "row_to": row.to},
            words,
            reverse("people:outbox"),
        )

    return first_of(Letter.objects.to_look_at(at).defer("text", "html").order_by("pk"), item)
