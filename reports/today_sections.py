"""The sections of Today: each finds its first few items and counts the rest, in a fixed number of queries."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import Exists, Max, OuterRef, Q, QuerySet, Subquery
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.timezone import localdate, localtime
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n

from finds.models import Case, Find, ScreeningRecord
from hunts.models import Attendance, Hole, Hunt, SignUp
from hunts.states import HuntState, SignUpState
from law.retold import retold
from law.screening import Weight
from people.models import Insurance, User
from people.rights import Right
from permissions.models import Consent, Permission
from permissions.states import State
from reports.models import LandholderAnswer

SHOWN = 6  # more would bury the next section on a phone
SOON_DAYS = 45
BACK_SOON_DAYS = 14


@dataclass(frozen=True, slots=True)
class Item:
    """One line of Today. `status` is late, soon or plain; `words` says it without the colour."""

    status: str
    title: str
    words: str
    url: str
    due: date | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """The first items of a section, and how many there are in all."""

    items: list[Item] = field(default_factory=list)
    total: int = 0


def first_of(rows: QuerySet[Any], item: Callable[[Any], Item]) -> Found:
    """The rows are counted only where there are more than are shown: most sections of most people are empty."""
    first = list(rows[: SHOWN + 1])
    return Found([item(row) for row in first[:SHOWN]], rows.count() if len(first) > SHOWN else len(first))


def status_of(due: date | None, today: date) -> str:
    return "late" if due is not None and due < today else "soon"


def days_left(due: date | None, today: date) -> str:
    if due is None:
        return _("as soon as possible")
    days = (due - today).days
    if days < 0:
        return _n("%(days)s day late", "%(days)s days late", -days) % {"days": -days}
    return {0: _("today"), 1: _("tomorrow")}.get(days, _("in %(days)s days") % {"days": days})


def clocks(user: User, at: datetime) -> Found:
    """Heritage cases of which nobody has told the authority yet."""
    today = localdate(at)

    def item(case: Case) -> Item:
        words = f"{retold(case.authority) or _('The authority')}: {days_left(case.due_on, today)}"
        url = reverse("finds:case_detail", args=[case.pk])
        return Item(
            status_of(case.due_on, today),
            _("Case %(case_number)s") % {"case_number": case.number},
            words,
            url,
            case.due_on,
        )

    return first_of(Case.objects.visible_to(user).running(), item)


def still_out(user: User, at: datetime) -> Found:
    """People signed in to a running hunt whose finish has passed."""
    if not user.holds(Right.RUN_HUNT):
        return Found()

    def item(row: Attendance) -> Item:
        hunt = row.sign_up.hunt
        words = _("not signed out of %(hunt)s, finish was %(hunt_ends_at)s") % {
            "hunt": hunt,
            "hunt_ends_at": f"{hunt.ends_at:%H:%M}",
        }
        return Item("late", row.sign_up.user.name, words, reverse("hunts:roll_call", args=[hunt.pk]))

    here = localtime(at)
    over = Q(sign_up__hunt__on__lt=here.date()) | Q(
        sign_up__hunt__on=here.date(), sign_up__hunt__ends_at__lt=here.time()
    )
    rows = Attendance.objects.filter(over, signed_out_at=None, sign_up__hunt__state=HuntState.RUNNING)
    return first_of(
        rows.select_related("sign_up__hunt", "sign_up__user").order_by("signed_in_at", "pk"), item
    )


def own_papers(user: User, at: datetime) -> Found:
    """My own insurance and membership when they end soon or have ended."""
    today = localdate(at)
    items = []
    for label, rows in ((_("My insurance"), user.insurances), (_("My membership"), user.memberships)):
        ends = rows.aggregate(last=Max("ends"))["last"]
        if ends is None or ends < today + timedelta(SOON_DAYS):
            words = (
                _("none is recorded")
                if ends is None
                else _("last day %(ends)s, %(days_left)s")
                % {"ends": date_format(ends, "j M Y"), "days_left": days_left(ends, today)}
            )
            status = "late" if ends is None or ends < today else "soon"
            items.append(Item(status, label, words, reverse("people:me"), ends))
    return Found(items, len(items))


def papers_before_hunts(user: User, at: datetime) -> Found:
    """Places on coming hunts of people whose insurance does not cover the day."""
    if not user.holds(Right.RUN_HUNT):
        return Found()
    cards = Insurance.objects.filter(user=OuterRef("user"))
    covers = cards.filter(starts__lte=OuterRef("hunt__on"), ends__gte=OuterRef("hunt__on"))
    rows = SignUp.objects.visible_to(user).filter(
        ~Exists(covers),
        state=SignUpState.IN,
        hunt__on__gte=localdate(at),
        hunt__state__in=[HuntState.OPEN, HuntState.PLANNED],
    )
    rows = rows.annotate(insured=Subquery(cards.order_by("-ends").values("ends")[:1]))

    def item(row: Any) -> Item:
        until = (
            _("ends %(row_insured)s") % {"row_insured": date_format(row.insured, "j M Y")}
            if row.insured
            else _("is not recorded")
        )
        words = _("insurance %(until)s, signed up for %(hunt_on)s") % {
            "until": until,
            "hunt_on": date_format(row.hunt.on, "j M Y"),
        }
        url = reverse("people:person_detail", args=[row.user_id])
        return Item("late", row.user.name, words, url, row.insured)

    return first_of(rows.select_related("user", "hunt").order_by("hunt__on", "user__name", "pk"), item)


def consents(user: User, at: datetime) -> Found:
    """Consents that end soon, the first to end first, and permissions that are paused."""
    if not user.holds(Right.MANAGE_PERMISSIONS):
        return Found()
    today = localdate(at)

    def ending(row: Consent) -> Item:
        words = _("%(landholder_name)s's consent, %(days_left)s") % {
            "landholder_name": row.landholder.name,
            "days_left": days_left(row.ends, today),
        }
        url = reverse("permissions:permission_detail", args=[row.permission_id])
        return Item(status_of(row.ends, today), str(row.permission), words, url, row.ends)

    def paused(row: Permission) -> Item:
        words = _("paused: %(value)s") % {"value": row.paused_why or _("no reason given")}
        return Item("late", str(row), words, reverse("permissions:permission_detail", args=[row.pk]))

    soon = Consent.objects.filter(
        withdrawn_on=None, permission__state=State.GRANTED, ends__lt=today + timedelta(SOON_DAYS)
    )
    first = first_of(soon.select_related("permission", "landholder").order_by("ends", "pk"), ending)
    then = first_of(Permission.objects.visible_to(user).filter(state=State.PAUSED), paused)
    return Found([*first.items, *then.items][:SHOWN], first.total + then.total)


def questions(user: User, at: datetime) -> Found:
    """My finds of which the law's tests are open only because nobody has answered."""
    newest = ScreeningRecord.objects.filter(find=OuterRef("pk")).order_by("-at", "-pk").values("weight")[:1]
    finds = Find.objects.visible_to(user).filter(finder=user, locked=False).annotate(weight=Subquery(newest))

    def item(find: Find) -> Item:
        words = _("a few questions decide whether it must be reported")
        return Item("soon", str(find), words, reverse("finds:facts", args=[find.pk]))

    return first_of(finds.filter(weight=Weight.TEST.value).order_by("found_at", "pk"), item)


def holes(user: User, at: datetime) -> Found:
    """Holes that are not filled: mine, those of hunts I lead, or all for those who see every hole."""

    def item(row: Hole) -> Item:
        words = _("hole %(row_number)s, dug %(row_dug_at)s by %(digger_name)s") % {
            "row_number": row.number,
            "row_dug_at": date_format(localtime(row.dug_at), "j M H:i"),
            "digger_name": row.digger.name,
        }
        return Item(
            "late",
            _("%(row_hunt)s: not filled") % {"row_hunt": row.hunt},
            words,
            reverse("hunts:hole_detail", args=[row.pk]),
        )

    rows = Hole.objects.visible_to(user).unfilled().select_related("hunt", "digger")
    return first_of(rows.order_by("dug_at", "pk"), item)


def concerns(user: User, at: datetime) -> Found:
    """What landholders raised and nobody has answered."""
    if not user.holds(Right.MANAGE_PERMISSIONS):
        return Found()
    what = LandholderAnswer.What

    def item(row: LandholderAnswer) -> Item:
        words = f"{row.get_what_display().lower()}, {date_format(localtime(row.at), 'j M Y')}"
        status = "soon" if row.what in (what.QUESTION, what.INVITED) else "late"
        return Item(status, row.landholder.name, words, reverse("reports:answers"))

    asking = [what.CONCERN, what.DISPUTED, what.PAUSED, what.WITHDREW, what.QUESTION, what.INVITED]
    rows = LandholderAnswer.objects.filter(what__in=asking, settled=None).select_related("landholder")
    return first_of(rows.order_by("at", "pk"), item)


def next_hunts(user: User, at: datetime) -> Found:
    """The next hunts this person may see, with their own place."""
    mine = dict(user.sign_ups.exclude(state=SignUpState.WITHDRAWN).values_list("hunt_id", "state"))
    own = {"in": _("you are in"), "waiting": _("you are on the waiting list")}

    def item(hunt: Hunt) -> Item:
        place = own.get(mine.get(hunt.pk, "")) or _(hunt.state)
        words = f"{date_format(hunt.on, 'D j M')}, {hunt.starts_at:%H:%M}; {place}"
        return Item("plain", str(hunt), words, reverse("hunts:detail", args=[hunt.pk]), hunt.on)

    return first_of(Hunt.objects.visible_to(user).coming(localdate(at)), item)
