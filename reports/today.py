"""What needs one person today: clocks, lapses, people still out, holes, reports, returns, next hunts."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Max, OuterRef, Subquery
from django.urls import reverse
from django.utils.timezone import localdate, localtime

from finds.models import Case, CustodyEntry, Find, ScreeningRecord
from hunts.models import Attendance, Hole, Hunt
from hunts.states import HuntState, SignUpState
from law.screening import Weight
from people.models import User
from people.rights import Right
from permissions.models import Consent, Permission
from permissions.states import State
from reports.models import IssuedReport, Kind, LandholderAnswer

SOON_DAYS = 45
REPORT_WITHIN_DAYS = 7  # common practice: landowners want the visit report within a week
MOST = 25


@dataclass(frozen=True, slots=True)
class Item:
    """One line of Today. `status` is late, soon or plain; `words` says it without the colour."""

    status: str
    title: str
    words: str
    url: str
    due: date | None = None


@dataclass(frozen=True, slots=True)
class Group:
    title: str
    items: list[Item]


def _status(due: date | None, today: date) -> str:
    if due is None:
        return "soon"
    return "late" if due < today else "soon"


def _left(due: date | None, today: date) -> str:
    if due is None:
        return "as soon as possible"
    days = (due - today).days
    if days < 0:
        return f"{-days} day{'s' if days != -1 else ''} late"
    return {0: "today", 1: "tomorrow"}.get(days, f"in {days} days")


def clocks(user: User, at: datetime) -> Iterator[Item]:
    """Heritage cases of which nobody has told the authority yet."""
    today = localdate(at)
    for case in Case.objects.visible_to(user).running()[:MOST]:
        words = f"{case.authority or 'The authority'}: {_left(case.due_on, today)}"
        url = reverse("finds:case_detail", args=[case.pk])
        yield Item(_status(case.due_on, today), f"Case {case.number}", words, url, case.due_on)


def still_out(user: User, at: datetime) -> Iterator[Item]:
    """People signed in to a running hunt whose finish has passed."""
    if not user.holds(Right.RUN_HUNT):
        return
    rows = Attendance.objects.filter(signed_out_at=None, sign_up__hunt__state=HuntState.RUNNING)
    for row in rows.select_related("sign_up__hunt", "sign_up__user")[:MOST]:
        hunt = row.sign_up.hunt
        if at > hunt.finishes:
            url = reverse("hunts:roll_call", args=[hunt.pk])
            yield Item(
                "late",
                row.sign_up.user.name,
                f"not signed out of {hunt}, finish was {hunt.ends_at:%H:%M}",
                url,
            )


def own_papers(user: User, at: datetime) -> Iterator[Item]:
    """My own insurance and membership when they end soon or have ended."""
    today = localdate(at)
    for label, rows in (("insurance", user.insurances), ("membership", user.memberships)):
        ends = rows.aggregate(last=Max("ends"))["last"]
        if ends is None or ends < today + timedelta(SOON_DAYS):
            words = "none is recorded" if ends is None else f"last day {ends:%-d %b %Y}, {_left(ends, today)}"
            yield Item(
                "late" if ends is None or ends < today else "soon",
                f"My {label}",
                words,
                reverse("people:me"),
                ends,
            )


def papers_before_hunts(user: User, at: datetime) -> Iterator[Item]:
    """People signed up for a hunt on whose day their insurance will have ended."""
    if not user.holds(Right.RUN_HUNT):
        return
    today = localdate(at)
    people = (
        User.objects.visible_to(user)
        .filter(
            sign_ups__state=SignUpState.IN,
            sign_ups__hunt__on__gte=today,
            sign_ups__hunt__state__in=[HuntState.OPEN, HuntState.PLANNED],
        )
        .annotate(last_hunt=Max("sign_ups__hunt__on"))
    )
    latest = Max("insurances__ends")
    for person in people.annotate(insured=latest)[:200]:
        if person.insured is None or person.insured < person.last_hunt:
            until = f"ends {person.insured:%-d %b %Y}" if person.insured else "is not recorded"
            words = f"insurance {until}, signed up for {person.last_hunt:%-d %b %Y}"
            yield Item(
                "late", person.name, words, reverse("people:person_detail", args=[person.pk]), person.insured
            )


def consents(user: User, at: datetime) -> Iterator[Item]:
    """Consents and permissions that end soon, were withdrawn, or are paused."""
    if not user.holds(Right.MANAGE_PERMISSIONS):
        return
    today = localdate(at)
    ending = Consent.objects.filter(
        withdrawn_on=None, permission__state=State.GRANTED, ends__lt=today + timedelta(SOON_DAYS)
    )
    for row in ending.select_related("permission", "landholder").order_by("ends")[:MOST]:
        words = f"{row.landholder.name}'s consent, {_left(row.ends, today)}"
        url = reverse("permissions:permission_detail", args=[row.permission_id])
        yield Item(_status(row.ends, today), str(row.permission), words, url, row.ends)
    for paused in Permission.objects.visible_to(user).filter(state=State.PAUSED)[:MOST]:
        words = f"paused: {paused.paused_why or 'no reason given'}"
        yield Item("late", str(paused), words, reverse("permissions:permission_detail", args=[paused.pk]))


def questions(user: User, at: datetime) -> Iterator[Item]:
    """My finds of which the law's tests are open only because nobody has answered."""
    newest = ScreeningRecord.objects.filter(find=OuterRef("pk")).order_by("-at", "-pk").values("weight")[:1]
    finds = Find.objects.visible_to(user).filter(finder=user, locked=False).annotate(weight=Subquery(newest))
    for find in finds.filter(weight=Weight.TEST.value).order_by("found_at")[:MOST]:
        url = reverse("finds:facts", args=[find.pk])
        yield Item("soon", str(find), "a few questions decide whether it must be reported", url)


def holes(user: User, at: datetime) -> Iterator[Item]:
    """Holes that are not filled: mine, and those of hunts I lead."""
    rows = Hole.objects.visible_to(user).unfilled().select_related("hunt", "digger")
    if not user.holds(Right.SEE_ALL_HOLES):
        rows = rows.order_by("dug_at")
    for row in rows.order_by("dug_at")[:MOST]:
        words = f"hole {row.number}, dug {localtime(row.dug_at):%-d %b %H:%M} by {row.digger.name}"
        yield Item("late", f"{row.hunt}: not filled", words, reverse("hunts:hole_detail", args=[row.pk]))


def reports_due(user: User, at: datetime) -> Iterator[Item]:
    """Closed hunts without a visit report."""
    if not user.holds(Right.ISSUE_REPORTS):
        return
    today = localdate(at)
    issued = IssuedReport.objects.filter(kind=Kind.VISIT, hunt=OuterRef("pk")).values("pk")[:1]
    hunts = Hunt.objects.visible_to(user).filter(state=HuntState.CLOSED, on__gte=today - timedelta(120))
    for hunt in hunts.annotate(issued=Subquery(issued)).filter(issued=None).order_by("on")[:MOST]:
        due = hunt.on + timedelta(REPORT_WITHIN_DAYS)
        url = reverse("reports:visit", args=[hunt.pk])
        yield Item(_status(due, today), f"{hunt}", f"visit report, {_left(due, today)}", url, due)


def returns(user: User, at: datetime) -> Iterator[Item]:
    """Objects due back from whoever holds them."""
    if not user.holds(Right.MOVE_CUSTODY):
        return
    today = localdate(at)
    newest = CustodyEntry.objects.filter(find=OuterRef("find")).order_by("-step").values("pk")[:1]
    rows = CustodyEntry.objects.filter(pk=Subquery(newest), due_back__lt=today + timedelta(14))
    visible = Find.objects.visible_to(user)
    for row in rows.filter(find__in=visible).select_related("find").order_by("due_back")[:MOST]:
        words = f"with {row.to_name}, due back {_left(row.due_back, today)}"
        yield Item(
            _status(row.due_back, today),
            str(row.find),
            words,
            reverse("finds:detail", args=[row.find_id]),
            row.due_back,
        )


def concerns(user: User, at: datetime) -> Iterator[Item]:
    """What landholders raised and nobody has answered."""
    if not user.holds(Right.MANAGE_PERMISSIONS):
        return
    asking = [LandholderAnswer.What.CONCERN, LandholderAnswer.What.DISPUTED, LandholderAnswer.What.PAUSED]
    rows = LandholderAnswer.objects.filter(what__in=asking, settled=None).select_related("landholder")
    for row in rows.order_by("at")[:MOST]:
        words = f"{row.get_what_display().lower()}, {localtime(row.at):%-d %b %Y}"
        yield Item("late", row.landholder.name, words, reverse("reports:answers"))


def next_hunts(user: User, at: datetime) -> Iterator[Item]:
    """The next hunts this person may see, with their own place."""
    mine = dict(user.sign_ups.exclude(state=SignUpState.WITHDRAWN).values_list("hunt_id", "state"))
    for hunt in Hunt.objects.visible_to(user).coming(localdate(at))[:6]:
        place = {"in": "you are in", "waiting": "you are on the waiting list"}.get(
            mine.get(hunt.pk, ""), hunt.state
        )
        words = f"{hunt.on:%a %-d %b}, {hunt.starts_at:%H:%M}; {place}"
        yield Item("plain", str(hunt), words, reverse("hunts:detail", args=[hunt.pk]), hunt.on)


SECTIONS: tuple[tuple[str, Callable[[User, datetime], Iterator[Item]]], ...] = (
    ("Still out", still_out),
    ("Clocks running", clocks),
    ("Landholders waiting for an answer", concerns),
    ("Questions about my finds", questions),
    ("Holes not filled", holes),
    ("Permissions and consents", consents),
    ("Insurance before hunts", papers_before_hunts),
    ("Reports to landholders", reports_due),
    ("Due back", returns),
    ("My papers", own_papers),
    ("Next hunts", next_hunts),
)


def today_for(user: User, *, at: datetime) -> list[Group]:
    """Every section that has something for this person, the most urgent kinds first."""
    groups = [Group(title, list(section(user, at))) for title, section in SECTIONS]
    return [group for group in groups if group.items]
