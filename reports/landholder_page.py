"""What one landholder may read: visits, land, finds and reports as their capacity allows, and what they said."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import Prefetch, QuerySet
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from people.models import Club
from permissions.models import Landholder, Permission, Site, SiteParty
from permissions.models.site import Capacity
from permissions.states import State
from reports.actions.returning import goes_back
from reports.agreement_page import withdrawable
from reports.content import from_data
from reports.forms import ConcernForm, ConfirmForm, InviteForm, PauseForm, QuestionForm
from reports.landholder_finds import by_visit, find_rows, waiting_finds
from reports.landholder_map import covers_of, grounds_for, land_map, shares_in_words
from reports.landholder_papers import papers_told
from reports.landholder_scope import Scope, scope_of
from reports.landholder_sees import DATES_ONLY, Sees
from reports.landholder_visits import SITES, Visit, coming_visits, own_fields, past_visits
from reports.models import IssuedReport, Kind
from reports.photos import landholder_photo_urls

MAY_PAUSE = [Capacity.OWNER, Capacity.OCCUPIER, Capacity.AGENT]
SHOWN_DAYS = 365
"""Older visits are one tap away: the page is read on a phone, and printed on one sheet."""
NEEDS = {Kind.VISIT: "finds", Kind.RETURNS: "finds", Kind.HOLES: "holes", Kind.YEAR: "finds"}
"""What a capacity must let a landholder see for them to read a report that was issued to them."""


def sites_of(landholder: Landholder, on: date, capacities: list[Capacity] | None = None) -> QuerySet[Site]:
    """Sites where this landholder has a say on that day, in any capacity or in one of `capacities`."""
    parties = SiteParty.objects.on(on).filter(landholder=landholder)
    if capacities is not None:
        parties = parties.filter(capacity__in=capacities)
    return Site.objects.filter(pk__in=parties.values("site"))


def own_permissions(landholder: Landholder, on: date) -> QuerySet[Permission]:
    """Permissions that this landholder may pause that day: as owner, occupier or agent of one of the sites."""
    return Permission.objects.filter(sites__in=sites_of(landholder, on, MAY_PAUSE)).distinct()


def reports_for(landholder: Landholder) -> QuerySet[IssuedReport]:
    """Reports that were issued to this landholder; never a heritage report."""
    rows = IssuedReport.objects.filter(landholder=landholder).exclude(kind=Kind.HERITAGE)
    sites: Prefetch[str] = Prefetch("hunt__sites", SITES.queryset)
    return rows.select_related("hunt").prefetch_related(sites)


def may_read(scope: Scope, row: IssuedReport, on: date) -> bool:
    """Does their capacity let them read it: as of the hunt's day, or today for a report on more than one hunt?"""
    if row.kind not in NEEDS:
        return False
    seen = own_fields(scope, row.hunt) if row.hunt is not None else scope.today(on)
    return any(getattr(each, NEEDS[Kind(row.kind)]) for each in seen.values())


def pause_form(permission_id: int, data: Any = None) -> PauseForm:
    """The form that pauses one permission, with identifiers of its own beside the others on the page."""
    return PauseForm(data, auto_id=f"pause-{permission_id}-%s")


def page_context(
    landholder: Landholder,
    key: str,
    *,
    at: datetime,
    everything: bool = False,
    tried: dict[int, PauseForm] | None = None,
    **forms: Any,
) -> dict[str, Any]:
    """What the page shows. `tried` holds the form of a pause that could not be taken, by its permission, and `forms`
    others that could not be. Without `everything` the visits of a year, and older ones with a find still away.
    """
    today, scope = localdate(at), scope_of(landholder)
    return {
        "landholder": landholder,
        "key": key,
        "everything": everything,
        "coming": coming_visits(scope, today),
        "papers": papers_told(landholder, at),
        "answers": landholder.answers.select_related("report", "settled"),
        **_land(scope, today),
        **_past(scope, today, everything=everything),
        **_forms(landholder, today, scope, tried or {}, forms),
    }


def _land(scope: Scope, today: date) -> dict[str, Any]:
    seen = scope.today(today)
    sites = Site.objects.filter(pk__in=list(seen)).only("code", "name", "area_m2")
    paused = Permission.objects.filter(sites__in=list(seen), state=State.PAUSED).distinct()
    return {"sites": sites, "paused": paused, "sees": joined(seen.values())}


def joined(rows: Iterable[Sees]) -> Sees:
    """All that any of them allows."""
    seen = DATES_ONLY
    for each in rows:
        seen |= each
    return seen


def _past(scope: Scope, today: date, *, everything: bool) -> dict[str, Any]:
    """Past visits with their reports, the finds, and the map of their fields as they are today."""
    since = None if everything else today - timedelta(SHOWN_DAYS)
    visits = past_visits(scope, today)
    kept = set(waiting_finds(scope))
    shown = [visit for visit in visits if since is None or visit.hunt.on >= since]
    finds = find_rows(scope, [v for v in visits if v in shown or v.hunt.pk in kept], today)
    finds = [row for row in finds if since is None or row.find.hunt.on >= since or row.still_away]
    covers, grounds = covers_of(shown), grounds_for(scope.sites)
    shares = shares_in_words(shown, covers, grounds)
    reports = [row for row in reports_for(scope.landholder).defer("content") if may_read(scope, row, today)]
    club = Club.objects.filter(pk=1).first() or Club(name=_("The club"))
    return {
        "visits": [_with_reports(visit, shares[visit.hunt.pk], reports) for visit in shown],
        "older": len(visits) - len(shown),
        "finds": by_visit(finds),
        "map": land_map(club, scope.today(today), shown, finds, covers, grounds),
        "other_reports": [row for row in reports if row.hunt_id not in {v.hunt.pk for v in shown}],
    }


def _with_reports(visit: Visit, ground: str, reports: list[IssuedReport]) -> Visit:
    return replace(visit, ground=ground, reports=[row for row in reports if row.hunt_id == visit.hunt.pk])


def _forms(
    landholder: Landholder, today: date, scope: Scope, tried: dict[int, PauseForm], forms: dict[str, Any]
) -> dict[str, Any]:
    pausable = own_permissions(landholder, today).filter(state=State.GRANTED)
    usual = {
        "question_form": QuestionForm(auto_id="question-%s"),
        "concern_form": ConcernForm(),
        "invite_form": InviteForm(auto_id="invite-%s"),
    }
    return {
        "pausable": [
            {"permission": row, "form": tried.get(row.pk) or pause_form(row.pk), "open": row.pk in tried}
            for row in pausable
        ],
        "withdrawable": withdrawable(landholder, today),
        **usual,
        **forms,
    }


def may_invite(landholder: Landholder, on: date) -> bool:
    """Who decides over some of the land today may ask the club to come again."""
    return joined(scope_of(landholder).today(on).values()).decides


def report_context(row: IssuedReport, landholder: Landholder, key: str) -> dict[str, Any]:
    """One report with its photographs, what was answered, and the form to sign where something comes back."""
    report = from_data(row.content)
    return {
        "row": row,
        "report": report,
        "key": key,
        "photo_urls": landholder_photo_urls(report, key, row.pk),
        "confirm_form": ConfirmForm(objects=goes_back(row)) if row.kind == Kind.RETURNS else None,
        "answers": row.answers.filter(landholder=landholder),
    }
