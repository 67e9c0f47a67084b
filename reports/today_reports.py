"""Sections of Today about visit reports: ready for their leader to read and issue, and those that are late."""

from datetime import date, datetime, timedelta

from django.db.models import Exists, F, OuterRef, Q
from django.urls import reverse
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from hunts.models import Hunt
from hunts.models.hunt import HuntQuerySet
from hunts.states import HuntState
from people.models import User
from people.rights import Right
from permissions.models import SiteParty
from reports.build.common import WITH_A_SAY
from reports.models import IssuedReport, Kind
from reports.today_sections import Found, Item, days_left, first_of, status_of

REPORT_WITHIN_DAYS = 7  # common practice: landowners want the visit report within a week
REPORT_FORGOTTEN_DAYS = 120


def unreported(hunts: HuntQuerySet) -> HuntQuerySet:
    """Closed hunts of which somebody who had a say over the land that day has no visit report yet."""
    parties = SiteParty.objects.filter(
        Q(since__isnull=True) | Q(since__lte=OuterRef("on")),
        Q(until__isnull=True) | Q(until__gte=OuterRef("on")),
        site__hunt_sites__hunt=OuterRef("pk"),
        capacity__in=WITH_A_SAY,
    )
    had = IssuedReport.objects.filter(kind=Kind.VISIT, hunt=OuterRef("pk"))
    told = IssuedReport.objects.filter(
        kind=Kind.VISIT, hunt=OuterRef(OuterRef("pk")), landholder=OuterRef("landholder")
    )
    nobody = ~Exists(parties) & ~Exists(had)
    # Of a past outing nothing was kept that a visit report could tell.
    hunts = hunts.filter(past_basis="")
    return hunts.filter(Q(Exists(parties.filter(~Exists(told)))) | Q(nobody), state=HuntState.CLOSED)


def _mine(user: User, today: date) -> HuntQuerySet:
    """Hunts whose report this person answers for: those they led, and for the secretary all."""
    since = today - timedelta(REPORT_FORGOTTEN_DAYS)
    hunts = Hunt.objects.visible_to(user).filter(on__gte=since)
    return hunts if user.holds(Right.MANAGE_PERMISSIONS) else hunts.filter(leader=user)


def _found(hunts: HuntQuerySet, today: date) -> Found:
    def item(hunt: Hunt) -> Item:
        due = hunt.on + timedelta(REPORT_WITHIN_DAYS)
        words = _("the visit report is ready: read it, add a paragraph, issue it; %(days_left)s") % {
            "days_left": days_left(due, today)
        }
        return Item(status_of(due, today), str(hunt), words, reverse("reports:visit", args=[hunt.pk]), due)

    return first_of(unreported(hunts).order_by(F("on"), "pk"), item)


def reports_late(user: User, at: datetime) -> Found:
    """Visit reports that landholders have waited for longer than a week."""
    if not user.holds(Right.ISSUE_REPORTS):
        return Found()
    today = localdate(at)
    return _found(_mine(user, today).filter(on__lt=today - timedelta(REPORT_WITHIN_DAYS)), today)


def reports_ready(user: User, at: datetime) -> Found:
    """Visit reports of the last week, put together by themselves when the hunt was closed."""
    if not user.holds(Right.ISSUE_REPORTS):
        return Found()
    today = localdate(at)
    return _found(_mine(user, today).filter(on__gte=today - timedelta(REPORT_WITHIN_DAYS)), today)
