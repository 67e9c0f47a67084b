"""Finds as a landholder reads them: what each is, who has it, what is reported, and the place if they may know it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Q
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from finds.models import Case, CustodyEntry, Find, FindPhoto
from finds.models.custody import Holder
from finds.states import LOCKS, CaseState
from people.sensitivity import Precision, ShownPoint
from permissions.models import Landholder
from reports.build.common import reader_by_terms, where
from reports.landholder_scope import Scope
from reports.landholder_visits import Visit

FEW = 8  # finds that a phone shows without folding
WITH_SOMEBODY = (Holder.OFFICER, Holder.MUSEUM, Holder.CONSERVATOR)


@dataclass(frozen=True)
class FindRow:
    """One find. `place` is empty where the terms do not give it, and while the law's questions are open."""

    find: Find
    what: str
    photo: FindPhoto | None
    now: str
    back: str
    reported: str
    place: str
    still_away: bool
    point: ShownPoint | None = None


@dataclass(frozen=True)
class VisitFinds:
    """The finds of one visit. `away` counts those with somebody else; `few`: they need no folding."""

    day: date
    rows: list[FindRow]
    away: int
    few: bool


def by_visit(finds: Sequence[FindRow]) -> list[VisitFinds]:
    """The rows a visit at a time, the latest first: a season on one list is too long for a phone."""
    visits: dict[int, list[FindRow]] = {}
    for row in finds:
        visits.setdefault(row.find.hunt_id, []).append(row)
    few = len(finds) <= FEW
    groups = [
        VisitFinds(rows[0].find.hunt.on, rows, sum(row.still_away for row in rows), few)
        for rows in visits.values()
    ]
    return sorted(groups, key=lambda group: group.day, reverse=True)


def find_rows(scope: Scope, visits: Sequence[Visit], on: date) -> list[FindRow]:
    """The finds of these visits on fields where they may see finds, the newest first. Seven queries, however many."""
    sites = {visit.hunt.pk: {s for s, seen in visit.own.items() if seen.finds} for visit in visits}
    finds = Find.objects.filter(hunt__in=list(sites), site__in=scope.sites, withdrawn_at=None)
    rows = finds.select_related("hunt__permission", "site").defer("site__boundary", "facts")
    rows = rows.prefetch_related("custody", "cases", "photos").order_by("-number")
    return [_row(find, scope.landholder, on) for find in rows if find.site_id in sites[find.hunt_id]]


def waiting_finds(scope: Scope) -> list[int]:
    """Hunts, however long ago, of finds that are still with somebody or under a question of the law."""
    newest = CustodyEntry.objects.current().filter(to_holder__in=WITH_SOMEBODY).values("find")
    running = Q(cases__state__in=[s.value for s in LOCKS])
    finds = Find.objects.filter(Q(pk__in=newest) | running, site__in=scope.sites, withdrawn_at=None)
    return list(finds.values_list("hunt", flat=True).distinct())


def _row(find: Find, landholder: Landholder, on: date) -> FindRow:
    held = max(find.custody.all(), key=lambda entry: entry.step, default=None)
    point = where(find, reader_by_terms(find.hunt))
    full = point if point is not None and point.precision is Precision.FULL else None
    case = max(find.cases.all(), key=lambda case: case.opened_at, default=None)
    return FindRow(
        find=find,
        what=what_it_is(find),
        photo=next(iter(find.photos.all()), None),
        now=who_has_it(held, landholder),
        back=back_words(held, on),
        reported=reported_words(case),
        place=full.label if full else "",
        still_away=_is_away(held) or (case is not None and CaseState(case.state) in LOCKS),
        point=full,
    )


def what_it_is(find: Find) -> str:
    count = f"{find.count} " if find.count > 1 else ""
    said = [word for word in (find.period, find.years) if word and word != "–"]
    return f"{count}{find.object_type}{f' ({said[0]})' if said else ''}"


def who_has_it(held: CustodyEntry | None, landholder: Landholder) -> str:
    """Who holds it now, in words. A buyer, and another landholder, are not named."""
    if held is None:
        return _("with the finder")
    if held.to_holder == Holder.LANDHOLDER:
        return _("with you") if held.to_name == landholder.name else _("with the landholder")
    return {
        Holder.FINDER: _("with the finder, %(held_to_name)s") % {"held_to_name": held.to_name},
        Holder.CLUB: _("with the club"),
        Holder.OFFICER: _("with the heritage officer, %(held_to_name)s") % {"held_to_name": held.to_name},
        Holder.MUSEUM: _("with the museum, %(held_to_name)s") % {"held_to_name": held.to_name},
        Holder.CONSERVATOR: _("with the conservator, %(held_to_name)s") % {"held_to_name": held.to_name},
        Holder.BUYER: _("sold as agreed"),
        Holder.LOST: _("lost: please speak to us"),
        Holder.REBURIED: _("buried again where it lay"),
    }[Holder(held.to_holder)]


def back_words(held: CustodyEntry | None, on: date) -> str:
    if held is None or held.due_back is None:
        return _("back when they have finished; no day is known") if _is_away(held) else ""
    day = date_format(held.due_back, "j F Y")
    return (
        _("expected back by %(day)s") % {"day": day}
        if held.due_back >= on
        else _("should have been back by %(day)s: we are asking") % {"day": day}
    )


def _is_away(held: CustodyEntry | None) -> bool:
    return held is not None and held.to_holder in WITH_SOMEBODY


def reported_words(case: Case | None) -> str:
    """How far the law's questions have come: words and days, never a place."""
    if case is None:
        return _("nothing to report")
    words: dict[CaseState, str] = {
        CaseState.FLAGGED: _("may have to be reported by law; the committee is looking into it"),
        CaseState.REVIEW: _("may have to be reported by law; the committee is looking into it"),
        CaseState.NO_DUTY: _("looked into: no duty to report was found"),
        CaseState.REPORTED: _("reported to the authority%(on)s") % {"on": _on(case.reported_on)},
        CaseState.ACKNOWLEDGED: _("the authority has the report%(on)s") % {"on": _on(case.acknowledged_on)},
        CaseState.DECIDED: _("decided by the authority%(on)s: %(decision)s")
        % {"on": _on(case.decided_on), "decision": _decision(case)},
        CaseState.CLOSED: _("closed: %(decision)s") % {"decision": _decision(case)}
        if case.decision
        else _("closed"),
    }
    return words[CaseState(case.state)]


def _on(day: date | None) -> str:
    return _(" on %(day)s") % {"day": date_format(day, "j F Y")} if day else ""


def _decision(case: Case) -> str:
    return case.get_decision_display().lower()


def photo_for(scope: Scope, photo_id: int) -> FindPhoto | None:
    """A photograph of a find that they may see; None for any other."""
    rows = FindPhoto.objects.select_related("find__hunt").filter(find__withdrawn_at=None)
    photo: Any = rows.filter(pk=photo_id, find__site__in=scope.sites).first()
    if photo is None:
        return None
    seen = scope.sees(photo.find.site_id, photo.find.hunt.on)
    return photo if seen is not None and seen.finds else None
