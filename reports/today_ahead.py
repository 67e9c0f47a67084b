"""Sections of Today that look ahead: the gate before planned hunts, notice, checks going stale, signatures."""

from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import Exists, F, OuterRef, Q, Subquery
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.timezone import localdate, localtime
from django.utils.translation import gettext as _

from hunts.gate import GateSaid
from hunts.gates import gates_now
from hunts.models import Hunt
from hunts.states import HuntState
from people.models import User
from people.rights import Right
from permissions.gate import DEFAULT_POLICY, Answer, ReasonCode
from permissions.models import ProtectedCheck, Site, SiteParty
from permissions.models.site import Capacity
from permissions.states import State
from reports.models import AgreementIssue, SignatureRequest
from reports.today_sections import SHOWN, SOON_DAYS, Found, Item, days_left, first_of, status_of

AHEAD_DAYS = 60
NOTICE_SOON_DAYS = 14
MOST_HUNTS = 100
_ABOUT_NOTICE = {ReasonCode.NOTICE_DUE.value, ReasonCode.INFORM_DUE.value}


def gate_changes(user: User, at: datetime) -> Found:
    """Coming hunts whose gate is shut, asks what nobody has answered, or has opened since they were planned."""
    if not user.holds(Right.PLAN_HUNT):
        return Found()
    today = localdate(at)
    coming = Hunt.objects.visible_to(user).coming(today).filter(on__lte=today + timedelta(AHEAD_DAYS))
    hunts = list(coming.exclude(state=HuntState.RUNNING).prefetch_related("sites")[:MOST_HUNTS])
    gates = gates_now(hunts, at=at)
    items = [item for hunt in hunts if (item := _gate_item(hunt, gates[hunt.pk]))]
    return Found(items[:SHOWN], len(items))


def _gate_item(hunt: Hunt, said: GateSaid) -> Item | None:
    """What the planner has to know; notice that is still to be given has a section of its own."""
    url, when = reverse("hunts:detail", args=[hunt.pk]), date_format(hunt.on, "D j M")
    if said.answer is Answer.SHUT:
        return Item(
            "late",
            str(hunt),
            _("%(when)s, gate shut: %(worst)s") % {"when": when, "worst": _worst(said)},
            url,
            hunt.on,
        )
    if said.answer is Answer.ASK:
        asked = hunt.gate_answer.get("asked") or {}
        if asked.get("key") == said.key or not _beyond_notice(said):
            return None
        return Item(
            "soon",
            str(hunt),
            _("%(when)s, ask first: %(worst)s") % {"when": when, "worst": _worst(said)},
            url,
            hunt.on,
        )
    if hunt.state == HuntState.PLANNED and hunt.gate_answer.get("answer", Answer.OPEN) != Answer.OPEN:
        return Item(
            "soon",
            str(hunt),
            _("%(when)s, the gate is open now: sign-up can be opened") % {"when": when},
            url,
            hunt.on,
        )
    return None


def _worst(said: GateSaid) -> str:
    bars = [bar for bar in said.bars if bar]
    more = _(" (and %(value)s more)") % {"value": len(bars) - 1} if len(bars) > 1 else ""
    return f"{bars[0]}{more}" if bars else _("see the hunt's page")


def _beyond_notice(said: GateSaid) -> bool:
    reasons = [r for site in said.sites for r in site.reasons if r.effect != Answer.OPEN]
    return any(r.code not in _ABOUT_NOTICE for r in reasons)


def notice_due(user: User, at: datetime) -> Found:
    """Coming hunts of which the landholders, or those who are only told, have not been told yet."""
    if not user.holds(Right.PLAN_HUNT):
        return Found()
    today = localdate(at)
    only_told = SiteParty.objects.filter(
        site__hunts=OuterRef("pk"), capacity__in=[Capacity.SPORTING_TENANT, Capacity.INFORMED_ONLY]
    )
    hunts = Hunt.objects.visible_to(user).coming(today).filter(told_at=None).annotate(tells=Exists(only_told))
    rows = hunts.filter(Q(permission__notice_hours__isnull=False) | Q(tells=True))
    due = sorted(
        ((_notice_by(hunt), hunt) for hunt in rows.select_related("permission")[:MOST_HUNTS]),
        key=lambda pair: (pair[0], pair[1].pk),
    )
    soon = [pair for pair in due if localdate(pair[0]) <= today + timedelta(NOTICE_SOON_DAYS)]
    return Found([_notice_item(hunt, by, at) for by, hunt in soon[:SHOWN]], len(soon))


def _notice_by(hunt: Any) -> datetime:
    """The last moment at which notice is long enough, for the one who needs it longest before."""
    told = DEFAULT_POLICY.inform_hours if hunt.tells else 0
    moment: datetime = hunt.begins - timedelta(hours=max(hunt.permission.notice_hours or 0, told))
    return moment


def _notice_item(hunt: Any, by: datetime, at: datetime) -> Item:
    whom = hunt.permission.notice_to or _("the landholders")
    words = _("tell %(whom)s by %(by)s, then note it on the hunt") % {
        "whom": whom,
        "by": date_format(localtime(by), "D j M, H:i"),
    }
    return Item("late" if by < at else "soon", str(hunt), words, _edit(hunt), localdate(by))


def _edit(hunt: Hunt) -> str:
    return reverse("hunts:edit", args=[hunt.pk])


def stale_checks(user: User, at: datetime) -> Found:
    """Sites in use whose check of the protected places is missing or will soon be too old for the gate."""
    if not user.holds(Right.MANAGE_LAND):
        return Found()
    today = localdate(at)
    newest = ProtectedCheck.objects.filter(site=OuterRef("pk")).order_by("-checked_on", "-pk")
    in_use = (
        Site.objects.visible_to(user)
        .current()
        .filter(permissions__state__in=[State.ASKED, State.GRANTED, State.PAUSED])
    )
    rows = in_use.annotate(checked=Subquery(newest.values("checked_on")[:1])).distinct()
    oldest = today - timedelta(DEFAULT_POLICY.protected_check_days - SOON_DAYS)
    old = rows.filter(Q(checked__isnull=True) | Q(checked__lt=oldest)).defer("boundary")

    def item(site: Any) -> Item:
        due = site.checked + timedelta(DEFAULT_POLICY.protected_check_days) if site.checked else None
        words = (
            _("checked %(site_checked)s, %(again)s")
            % {"site_checked": date_format(site.checked, "j M Y"), "again": _again(due, today)}
            if due
            else _("never checked: the gate asks")
        )
        url = reverse("permissions:site_detail", args=[site.pk])
        return Item(
            status_of(due, today), str(site), _("protected places %(words)s") % {"words": words}, url, due
        )

    return first_of(old.order_by(F("checked").asc(nulls_first=True), "code"), item)


def _again(due: date | None, today: date) -> str:
    return (
        _("the gate asks again")
        if due is not None and due < today
        else _("due again %(days_left)s") % {"days_left": days_left(due, today)}
    )


def signatures(user: User, at: datetime) -> Found:
    """Agreements that were sent and are not signed yet; declined and expired ones are late."""
    if not user.holds(Right.MANAGE_PERMISSIONS):
        return Found()
    newest = AgreementIssue.objects.filter(permission=OuterRef("issue__permission")).order_by("-issue")
    rows = SignatureRequest.objects.visible_to(user).unrevoked().unsigned()
    rows = rows.filter(issue=Subquery(newest.values("pk")[:1]))
    rows = rows.exclude(issue__permission__state__in=[State.ENDED, State.REFUSED])

    def item(row: SignatureRequest) -> Item:
        ends, url = localdate(row.expires_at), reverse("reports:agreement", args=[row.issue.permission_id])
        status, words = (
            "soon",
            _("not signed yet; the address works until %(ends)s") % {"ends": date_format(ends, "j M Y")},
        )
        if row.declined_at is not None:
            status, words = (
                "late",
                _("declined %(row_declined_at)s: %(row_declined_why)s")
                % {
                    "row_declined_at": date_format(localtime(row.declined_at), "j M Y"),
                    "row_declined_why": row.declined_why,
                },
            )
        elif row.expires_at <= at:
            status, words = (
                "late",
                _("not signed, and the address worked until %(ends)s: send it again")
                % {"ends": date_format(ends, "j M Y")},
            )
        return Item(status, f"{row.issue.number}, {row.landholder.name}", words, url, ends)

    return first_of(rows.select_related("issue", "landholder").order_by("expires_at", "pk"), item)
