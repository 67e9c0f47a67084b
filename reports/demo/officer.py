"""Finds taken to the officer in one visit, done and planned; a visit report begun; landholders who were thanked."""

from datetime import datetime, timedelta
from random import Random
from typing import Any

from django.utils.timezone import localdate

from finds.forms.filters import season_of
from finds.models import CustodyEntry, Find, HandOverItem
from finds.models.custody import Holder
from hunts.models import Hunt
from people.models import User
from reports import actions
from reports.build.thanks import to_thank
from reports.demo.land import client_id
from reports.models import OfficerVisit

OFFICER: dict[str, Any] = {
    "to_holder": Holder.OFFICER,
    "to_name": "Ida Drift, finds officer",
    "place": "Recording room, Ravensand",
}
GIFTS = ("a card and a bottle of damson gin", "a framed photograph of the strap end", "a card and a cheese")


def make_visits(secretary: User, at: datetime, rng: Random) -> None:
    """Two visits: one three weeks ago from which a find stayed behind, and one that comes, with finds of open cases."""
    free = _free(at)
    done = _plan(free[:5], secretary, at, rng, days=-21)
    actions.record_officer_visit(
        done.pk,
        by=secretary,
        at=at - timedelta(days=20),
        evidence="the officer's list of that day",
        conditions=dict.fromkeys((find.pk for find in free[:4]), "as found, bagged"),
        left={free[4].pk: "The finder was at sea; it goes next time."},
    )
    _plan([*_locked(), *free[4:9]], secretary, at, rng, days=6)


def _plan(finds: list[Find], by: User, at: datetime, rng: Random, *, days: int) -> OfficerVisit:
    on = localdate(at) + timedelta(days)
    return actions.plan_officer_visit(
        [find.pk for find in finds], by=by, at=at + timedelta(days=min(days, 0) - 7), client_id=client_id(rng), on=on,
        purpose="recording and identification", due_back=on + timedelta(90), taken_by=by.name, **OFFICER,
    )  # fmt: skip


def _held() -> list[int]:
    """Finds that their finders still hold and that wait in no hand-over."""
    held = CustodyEntry.objects.current().filter(to_holder=Holder.FINDER).values("find")
    waiting = HandOverItem.objects.waiting().values("find")
    return list(
        Find.objects.filter(pk__in=held, withdrawn_at=None)
        .exclude(pk__in=waiting)
        .values_list("pk", flat=True)
    )


def _free(at: datetime) -> list[Find]:
    """The newest of those found longer than five weeks ago that nothing else of the demo uses; of several finders."""
    rows = Find.objects.filter(
        pk__in=_held(), locked=False, box_moves=None, found_at__lt=at - timedelta(days=35)
    )
    return list(rows.order_by("-number"))


def _locked() -> list[Find]:
    return list(Find.objects.filter(pk__in=_held(), locked=True).order_by("number")[:2])


def begin_report(hunt: Hunt, at: datetime) -> None:
    """The leader has begun the visit report of their last hunt, and Today asks them to read and issue it."""
    actions.save_visit_draft(
        hunt.pk,
        by=hunt.leader,
        at=at - timedelta(days=1),
        decide="The drain by the gate is blocked; shall we clear it with you on the next visit?",
        next_dates="Any Sunday once the field is drilled and before it is rolled.",
    )


def give_thanks(secretary: User, at: datetime, rng: Random) -> None:
    """Some were thanked for the season that runs, and all for the one before; the rest stand on the list."""
    this = season_of(localdate(at))
    for year, every in ((this - 1, 1), (this, 2)):
        for place, owed in enumerate(to_thank(year)[::every]):
            when = at - timedelta(days=12 + place)
            actions.thank_landholder(
                owed.landholder, year, by=secretary, at=when, client_id=client_id(rng), on=localdate(when),
                how=GIFTS[place % len(GIFTS)],
            )  # fmt: skip
