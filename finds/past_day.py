"""What finds hold of a past outing, and how they follow it to another day."""

from datetime import datetime

from django.utils.timezone import localtime, make_aware
from django.utils.translation import gettext as _

from finds.actions.groups import one_at_a_time
from finds.actions.screening import screen_find
from finds.actions.suggest import suggest_pairs
from finds.models import Case, Find, SheetRow
from finds.states import CLOCK_RUNS, CaseState
from hunts.errors import HuntError
from hunts.models import Hunt
from hunts.past_ties import Tied
from people import audit
from people.models import User

TOLD = frozenset(set(CaseState) - CLOCK_RUNS - {CaseState.NO_DUTY})
"""A case in one of these has told somebody of the find, its day and its field."""


def finds_hold(hunt: Hunt) -> Tied:
    """Sites and finders of its finds; the day once one was reported; day and permission once one is on a sheet."""
    finds = Find.objects.filter(hunt=hunt)
    sites = dict.fromkeys(
        finds.order_by().values_list("site_id", flat=True), _("It stays: a find is recorded on it.")
    )
    people = dict.fromkeys(
        finds.order_by().values_list("finder_id", flat=True),
        _("%(name)s stays: a find of theirs is recorded."),
    )
    return Tied(_fields(hunt), sites, people)


def _fields(hunt: Hunt) -> dict[str, str]:
    held: dict[str, str] = {}
    told = Case.objects.filter(finds__hunt=hunt, state__in=TOLD).order_by("pk").first()
    if told is not None:
        held["on"] = _("It stays: a find of this outing was reported under %(case)s with this day.") % {
            "case": told.number
        }
    row = SheetRow.objects.filter(find__hunt=hunt, live=True).select_related("sheet").order_by("pk").first()
    if row is not None:
        why = _("It stays: finds of this outing are settled on %(sheet)s under the terms of that day.") % {
            "sheet": row.sheet.number
        }
        held = {"on": why, "past_basis": why, "permission": why} | held
    return held


def finds_follow(hunt: Hunt, by: User, at: datetime) -> None:
    """Give every find of `hunt` its new day at the same time of day, and judge it by the law of that day.

    A number keeps the year it was given: it stands on bags and labels. Raises HuntError where one was reported or
    settled since it was asked.
    """
    one_at_a_time()  # a new day may change the answer for the rest of a find's group
    finds = Find.objects.select_for_update(of=("self",)).filter(hunt=hunt).select_related("hunt", "site")
    rows = list(finds.order_by("found_at", "pk"))
    # Who reports or settles holds the finds, not the hunt: what they kept before these locks counts too.
    if why := _fields(hunt).get("on"):
        raise HuntError(why)
    for find in rows:
        find.found_at = make_aware(datetime.combine(hunt.on, localtime(find.found_at).time()))
        find.save(update_fields=["found_at"])
        audit.record("find.change", find, by=by, at=at, changed=["found_at"])
    for find in (
        Find.objects.filter(hunt=hunt, withdrawn_at=None).select_related("hunt", "site").order_by("pk")
    ):
        screen_find(find, by=by, at=at)
        suggest_pairs(find, at=at)
