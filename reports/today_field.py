"""Sections of Today about people and things out in the field: guests, lone hunts, holes on grass, one's own kit."""

from datetime import datetime, timedelta
from typing import Any

from django.db.models import Count, Min, Q
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.timezone import localdate, localtime
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n

from field.models import PhoneRecord
from hunts.kit_facts import kit_states
from hunts.models import Guest, Kit, LoneHunt
from hunts.rechecks import LATEST_DAYS, rechecks_due
from hunts.states import HuntState
from people.models import User
from people.rights import Right
from reports.today_sections import SHOWN, Found, Item, first_of, status_of


def guests_out(user: User, at: datetime) -> Found:
    """Guests and juniors signed in to a hunt whose finish has passed."""
    if not user.holds(Right.RUN_HUNT):
        return Found()

    def item(guest: Guest) -> Item:
        words = _("not signed out of %(guest_hunt)s, brought by %(user_name)s") % {
            "guest_hunt": guest.hunt,
            "user_name": guest.host.user.name,
        }
        return Item("late", guest.name, words, reverse("hunts:roll_call", args=[guest.hunt_id]))

    here = localtime(at)
    over = Q(hunt__on__lt=here.date()) | Q(hunt__on=here.date(), hunt__ends_at__lt=here.time())
    rows = Guest.objects.visible_to(user).out().filter(over, hunt__state=HuntState.RUNNING)
    return first_of(rows.select_related("hunt", "host__user").order_by("signed_in_at", "pk"), item)


def out_alone(user: User, at: datetime) -> Found:
    """My own lone hunt while I am out; for those who run hunts also whoever is overdue."""

    def item(lone: LoneHunt) -> Item:
        late = lone.due_back < at
        url = reverse("hunts:lone_detail", args=[lone.pk])
        words = (_("was due back %(when)s") if late else _("due back %(when)s")) % {
            "when": date_format(localtime(lone.due_back), "j M H:i")
        }
        title = _("You are out alone") if lone.user_id == user.pk else lone.user.name
        return Item("late" if late else "soon", title, words, url)

    rows = LoneHunt.objects.visible_to(user).away().filter(Q(user=user) | Q(due_back__lt=at))
    return first_of(rows.select_related("user").order_by("due_back", "pk"), item)


def rechecks(user: User, at: datetime) -> Found:
    """Filled holes on grass to look at again, two to four weeks later: one line for each hunt."""
    if not user.holds(Right.CHECK_HOLES):
        return Found()

    rows = rechecks_due(user, at).order_by().values("hunt__code", "hunt__title")
    hunts = rows.annotate(first=Min("filled_at"), holes=Count("pk")).order_by("first", "hunt__code")
    today, url = localdate(at), reverse("hunts:recheck_list")

    def item(row: dict[str, Any]) -> Item:
        due = localdate(row["first"]) + timedelta(LATEST_DAYS)
        words = _n(
            "%(holes)s hole, look by %(due)s", "%(holes)s holes, look at the first by %(due)s", row["holes"]
        ) % {"holes": row["holes"], "due": date_format(due, "j M")}
        return Item(status_of(due, today), f"{row['hunt__code']} {row['hunt__title']}", words, url, due)

    return first_of(hunts, item)


def kit_care(user: User, at: datetime) -> Found:
    """Batteries to charge and care that is due on kit that is in use."""
    kits = list(Kit.objects.visible_to(user).in_use())
    if not kits:
        return Found()
    items = []
    for state in kit_states(user, on=localdate(at), kits=kits):
        url = reverse("hunts:kit_detail", args=[state.kit.pk])
        if state.battery.alert:
            items.append(Item("soon", state.kit.name, state.battery.alert, url))
        items += [
            Item("soon", state.kit.name, _("care is due: %(due_why)s") % {"due_why": due.why.lower()}, url)
            for due in state.care
        ]
    return Found(items[:SHOWN], len(items))


def from_phones(user: User, at: datetime) -> Found:
    """Records from my phone that wait for a word of mine, and those on hunts that I lead; each in one line."""
    url = reverse("field:parked")
    waiting = PhoneRecord.objects.visible_to(user).parked()
    own = waiting.filter(owner=user).count()
    led = waiting.exclude(owner=user).filter(hunt__leader=user).count()
    items = []
    if own:
        words = _("kept as sent; say what shall become of them")
        title = (
            _("1 record from your phone needs you")
            if own == 1
            else _("%(own)s records from your phone need you") % {"own": own}
        )
        items.append(Item("late", title, words, url))
    if led:
        words = _("on hunts that you lead; their makers see to them, or you let them in")
        title = (
            _("1 record of a member waits")
            if led == 1
            else _("%(led)s records of members wait") % {"led": led}
        )
        items.append(Item("soon", title, words, url))
    return Found(items, len(items))
