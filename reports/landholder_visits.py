"""Visits as a landholder reads them: the next ones, and the past ones with holes, ground and the report on each."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any

from django.db.models import Count, Max, Prefetch, Q
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n

from hunts.models import Guest, Hole, Hunt, SignUp
from hunts.states import HoleState, HuntState
from permissions.models import Site
from reports.landholder_scope import Scope, SiteId
from reports.landholder_sees import DATES_ONLY, Sees
from reports.models import IssuedReport

SITES = Prefetch("sites", Site.objects.only("code", "name"))


@dataclass(frozen=True)
class Visit:
    """One hunt on this landholder's ground; `own` are their fields of it, with what they may see there."""

    hunt: Hunt
    own: dict[SiteId, Sees]
    heads: int = 0
    holes: str = ""
    holes_done: bool = True
    ground: str = ""
    reports: list[IssuedReport] = field(default_factory=list)

    @property
    def sees(self) -> Sees:
        seen = DATES_ONLY
        for each in self.own.values():
            seen |= each
        return seen

    @property
    def fields(self) -> str:
        return ", ".join(site.name for site in self.hunt.sites.all() if site.pk in self.own)

    @property
    def people(self) -> str:
        """Who leads and how many, in words."""
        hunt = self.hunt
        if not self.sees.people:
            return ""
        if hunt.is_past_outing:
            return _("led by %(leader_name)s") % {"leader_name": hunt.leader.name}
        if hunt.state in (HuntState.CLOSED, HuntState.RUNNING):
            return _("led by %(leader_name)s, %(people)s") % {
                "leader_name": hunt.leader.name,
                "people": _people(self.heads),
            }
        return _("led by %(leader_name)s, %(heads)s of at most %(people)s so far") % {
            "leader_name": hunt.leader.name,
            "heads": self.heads,
            "people": _people(hunt.capacity),
        }

    @property
    def remarks(self) -> list[str]:
        """Damage and what was noticed, where the whole visit was on their ground: words tell no field apart."""
        if not self.sees.crops or len(self.own) < len(self.hunt.sites.all()):
            return []
        words = [(_("Damage"), self.hunt.damage), (_("Noticed"), self.hunt.noticed)]
        return [f"{label}: {said}" for label, said in words if said]


def _people(count: int) -> str:
    return _n("%(count)s person", "%(count)s people", count) % {"count": count}


def coming_visits(scope: Scope, on: date) -> list[Visit]:
    """The next visits to land where they have a say on the day of the visit."""
    hunts = Hunt.objects.filter(sites__in=scope.sites).coming(on).distinct()
    standing = SignUp.objects.standing().order_by().values("hunt").annotate(n=Count("pk"))
    return _visits(scope, hunts, standing, Guest.objects.standing())


def past_visits(scope: Scope, on: date) -> list[Visit]:
    """Visits that took place on days when they had a say there, the latest first."""
    took_place = Q(state=HuntState.CLOSED) | Q(state=HuntState.RUNNING, on__lt=on)
    hunts = Hunt.objects.filter(took_place, sites__in=scope.sites).distinct().order_by("-on", "-pk")
    came = SignUp.objects.filter(attendance__isnull=False).order_by().values("hunt").annotate(n=Count("pk"))
    visits = _visits(scope, hunts, came, Guest.objects.filter(signed_in_at__isnull=False))
    return _with_holes(visits)


def _visits(scope: Scope, hunts: Any, members: Any, guests: Any) -> list[Visit]:
    rows = list(hunts.select_related("leader", "permission").prefetch_related(SITES))
    heads: dict[int, int] = defaultdict(int)
    for each in (members, guests.order_by().values("hunt").annotate(n=Count("pk"))):
        for hunt, count in each.filter(hunt__in=[row.pk for row in rows]).values_list("hunt", "n"):
            heads[hunt] += count
    own = {row.pk: own_fields(scope, row) for row in rows}
    return [Visit(row, own[row.pk], heads[row.pk]) for row in rows if own[row.pk]]


def own_fields(scope: Scope, hunt: Hunt) -> dict[SiteId, Sees]:
    """Their fields of this hunt with what they may see there, as of the hunt's day."""
    rows = ((site.pk, scope.sees(site.pk, hunt.on)) for site in hunt.sites.all())
    return {site: seen for site, seen in rows if seen is not None}


def _with_holes(visits: Sequence[Visit]) -> list[Visit]:
    counts: dict[int, list[dict[str, Any]]] = defaultdict(list)
    rows: Any = Hole.objects.filter(hunt__in=[v.hunt.pk for v in visits]).values("hunt", "site", "state")
    for row in rows.annotate(n=Count("pk"), last=Max("filled_at")).order_by("hunt", "site", "state"):
        counts[row["hunt"]].append(row)
    told = []
    for visit in visits:
        here = [r for r in counts[visit.hunt.pk] if (seen := visit.own.get(r["site"])) and seen.holes]
        words, done = holes_in_words(here) if visit.sees.holes else ("", True)
        if words and visit.hunt.is_past_outing:
            words = _("entered later from older records, which say nothing of holes")
        told.append(replace(visit, holes=words, holes_done=done))
    return told


def holes_in_words(rows: Iterable[dict[str, Any]]) -> tuple[str, bool]:
    """'all 14 holes are filled, the last on 3 May 2026', and whether they are."""
    rows = list(rows)
    total = sum(row["n"] for row in rows)
    still = sum(row["n"] for row in rows if row["state"] == HoleState.DUG)
    if not total:
        return _("no hole was dug"), True
    if still:
        return _("%(still)s of %(total)s holes not filled yet: we are putting this right") % {
            "still": still,
            "total": total,
        }, False
    last = max(row["last"] for row in rows)
    all_of = (
        _("the one hole is filled")
        if total == 1
        else _("all %(total)s holes are filled, the last") % {"total": total}
    )
    return _("%(all_of)s on %(day_words)s") % {"all_of": all_of, "day_words": day_words(last)}, True


def day_words(moment: datetime) -> str:
    return date_format(localtime(moment), "j F Y")
