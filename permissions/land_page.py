"""What the pages of the land section show: the list with its map, the question to the gate, the year of a site."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from django.core.paginator import Paginator
from django.db.models import Q

from people.models import User
from people.rights import Right
from permissions.gate import Answer, Decision, Reason, summarise
from permissions.gate_facts import answers_for, years_for
from permissions.gate_ways import ShownReason, reasons_by_site
from permissions.maps import background, sites_on_map
from permissions.models import Site
from permissions.models.site import SiteQuerySet
from web.paging import A_PAGE


@dataclass(frozen=True)
class LandRow:
    """A site and what the gate says of it; `decision` is None for readers who may not see it."""

    site: Site
    decision: Decision | None
    reasons: list[ShownReason] = field(default_factory=list)

    @property
    def first_reason(self) -> Reason | None:
        bars = self.decision.bars if self.decision else ()
        return bars[0] if bars else None

    @property
    def more(self) -> int:
        return max(len(self.decision.bars) - 1, 0) if self.decision else 0


def found_sites(user: User, wanted: str) -> SiteQuerySet:
    """Sites in use that `user` sees, by code, field, farm or parish."""
    sites = Site.objects.visible_to(user).current()
    if wanted:
        named = Q(code__icontains=wanted) | Q(name__icontains=wanted)
        sites = sites.filter(named | Q(holding__icontains=wanted) | Q(parish__icontains=wanted))
    return sites


def list_context(user: User, *, on: date, heads: int | None, wanted: str, page: str | None) -> dict[str, Any]:
    """The sites of one page with the gate's answer on `on` beside the map."""
    shown = Paginator(found_sites(user, wanted), A_PAGE).get_page(page)
    sites = list(shown.object_list)
    answers = _answers(user, sites, on, heads=heads)
    return {
        "page": shown,
        "rows": [LandRow(site, answers.get(site.pk)) for site in sites],
        "on": on,
        "heads": heads,
        "layers": {"sites": sites_on_map(sites, answers), "ground": background()},
        "may_see_gate": user.holds(Right.SEE_ALL_LAND),
        "may_manage": user.holds(Right.MANAGE_LAND),
        "may_see_landholders": user.holds(Right.SEE_LANDHOLDERS),
    }


def _answers(user: User, sites: list[Site], on: date, **visit: Any) -> dict[int, Decision]:
    if not user.holds(Right.SEE_ALL_LAND):
        return {}
    return answers_for(sites, on, names=user.holds(Right.SEE_LANDHOLDERS), **visit)


def gate_context(user: User, *, on: date, page: str | None, **visit: Any) -> dict[str, Any]:
    """Every site in use with its answer for the visit: open first, each with all its reasons."""
    sites = list(Site.objects.visible_to(user).current().defer("boundary"))
    answers = _answers(user, sites, on, **visit)
    sites.sort(key=lambda site: (answers[site.pk].answer.severity, site.code))
    shown = Paginator(sites, A_PAGE).get_page(page)
    with_lines = Site.objects.visible_to(user).filter(pk__in=[site.pk for site in shown.object_list])
    reasons = reasons_by_site(shown.object_list, answers, user)
    counts = [decision.answer for decision in answers.values()]
    return {
        "page": shown,
        "rows": [LandRow(site, answers[site.pk], reasons[site.pk]) for site in shown.object_list],
        "on": on,
        "counts": [{"status": a.value, "number": counts.count(a)} for a in Answer],
        "layers": {"sites": sites_on_map(with_lines, answers), "ground": background()},
    }


@dataclass(frozen=True)
class Month:
    """One month as weeks of seven cells; a cell is None outside the month."""

    starts: date
    weeks: list[list[Decision | None]]

    @property
    def answer(self) -> Answer | None:
        """What the gate says on every day of it; None where days differ."""
        answers = {cell.answer for week in self.weeks for cell in week if cell}
        return answers.pop() if len(answers) == 1 else None


@dataclass
class YearReason:
    """One reason over the year: on how many days, from the first to the last."""

    reason: Reason
    days: int
    starts: date
    ends: date


def year_context(user: User, site: Site, *, first: date, heads: int | None) -> dict[str, Any]:
    """Twelve months of one site from `first`, a first of a month."""
    last = months_on(first, 12) - timedelta(1)
    days = years_for([site], first, last, heads=heads, names=user.holds(Right.SEE_LANDHOLDERS))[site.pk]
    return {
        "site": site,
        "first": first,
        "last": last,
        "heads": heads,
        "months": list(_months(days)),
        "summary": summarise(days),
        "reasons": reasons_of(days),
        "before": months_on(first, -12),
        "after": months_on(first, 12),
    }


def months_on(day: date, months: int) -> date:
    """The first of the month so many months on; the calendar's own ends are not passed."""
    count = day.year * 12 + day.month - 1 + months
    count = min(max(count, date.min.year * 12), date.max.year * 12)
    return date(count // 12, count % 12 + 1, 1)


def _months(days: tuple[Decision, ...]) -> Iterator[Month]:
    by_month: dict[tuple[int, int], list[Decision | None]] = {}
    for decision in days:
        cells = by_month.setdefault((decision.on.year, decision.on.month), [None] * decision.on.weekday())
        cells.append(decision)
    for (year, month), cells in by_month.items():
        cells += [None] * (-len(cells) % 7)
        yield Month(date(year, month, 1), [cells[at : at + 7] for at in range(0, len(cells), 7)])


def reasons_of(days: tuple[Decision, ...]) -> list[YearReason]:
    """Each reason once with the days it bars, the one that bars most first."""
    found: dict[tuple[str, str, str], YearReason] = {}
    for decision in days:
        for reason in decision.bars:
            key = (reason.code, reason.effect, reason.record)
            row = found.setdefault(key, YearReason(reason, 0, decision.on, decision.on))
            row.days, row.ends = row.days + 1, decision.on
    return sorted(found.values(), key=lambda row: (-row.reason.effect.severity, -row.days))
