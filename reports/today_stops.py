"""Sections of Today that come before all others: what has to stop, and drills that would call nobody."""

from datetime import datetime

from django.db.models import Exists, OuterRef
from django.urls import reverse
from django.utils.translation import gettext as _

from hunts.drills import nobody_to_call
from hunts.models import Attendance, Hunt, Incident
from people.models import User
from people.rights import Right
from reports.today_sections import SHOWN, Found, Item, first_of


def stops(user: User, at: datetime) -> Found:
    """Open incidents whose drill stops everything: one's own, of hunts one leads, all for those who see every hole.

    Who is out on a hunt that has stopped and sees no incident is sent to the hunt. No line holds a place.
    """

    def item(row: Incident) -> Item:
        taken = row.taken_over_by
        words = (
            _("%(hunt)s: %(name)s has taken over") % {"hunt": row.hunt, "name": taken.name}
            if taken
            else _("%(hunt)s: nobody has taken over yet") % {"hunt": row.hunt}
        )
        url = reverse("finds:incident", args=[row.pk])
        return Item("soon" if taken else "late", str(row), words, url)

    def stopped(hunt: Hunt) -> Item:
        words = _("do as the leader, %(leader_name)s, says") % {"leader_name": hunt.leader.name}
        return Item(
            "late",
            _("%(hunt_code)s has stopped") % {"hunt_code": hunt.code},
            words,
            reverse("hunts:detail", args=[hunt.pk]),
        )

    rows = Incident.objects.visible_to(user).open().filter(kind__in=Incident.LOCKING)
    mine = first_of(rows.select_related("hunt", "taken_over_by").order_by("-happened_at", "pk"), item)
    out = Attendance.objects.out().filter(sign_up__hunt=OuterRef("pk"), sign_up__user=user)
    stopping = Incident.objects.stopping().filter(hunt=OuterRef("pk")).exclude(pk__in=rows.values("pk"))
    hunts = Hunt.objects.visible_to(user).filter(Exists(out), Exists(stopping)).select_related("leader")
    told = first_of(hunts.order_by("on", "pk"), stopped)
    return Found([*told.items, *mine.items][:SHOWN], told.total + mine.total)


def nobody_entered(user: User, at: datetime) -> Found:
    """Laws under which the club has sites and a drill that would call nobody, for whoever enters contacts."""
    if not user.holds(Right.MANAGE_CLUB):
        return Found()
    items = [
        Item(
            "late",
            _("%(place)s: nobody to call") % {"place": place},
            _("for %(drills)s") % {"drills": ", ".join(drills).lower()},
            reverse("people:club"),
        )
        for place, drills in nobody_to_call()
    ]
    return Found(items[:SHOWN], len(items))
