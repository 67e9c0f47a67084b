"""What the pages about pairs and groups show. They show no place: a distance is not one, and no look is recorded."""

from collections.abc import Sequence
from typing import Any

from django.db.models import Q, QuerySet
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from finds.forms import GroupAddForm, PairForm
from finds.models import Case, Find, FindGroup, PairEvent, PairSuggestion
from finds.models.pair import PairSuggestionQuerySet
from finds.pair_reasons import reason_words
from finds.same_find import MOST_POINTS
from finds.screens import latest_records, shown
from finds.states import PairState
from people.models import User
from tongue import figure, noop

# how: what the button says, what the reasons are called
DECISIONS = {
    "same": (noop("They are the same find"), noop("Why they belong together")),
    "apart": (noop("They are not"), noop("Why they do not belong together")),
    "ask": (noop("Ask the finder"), noop("Your question")),
}
STATE_WORDS = {
    PairState.OPEN: (noop("To look at"), "ask"),
    PairState.ASKED: (noop("Waiting for the finder"), "soon"),
    PairState.SAME: (noop("Same find"), "done"),
    PairState.APART: (noop("Not the same find"), "plain"),
    PairState.GONE: (noop("No longer near each other"), "plain"),
}


def with_finds(pairs: PairSuggestionQuerySet) -> QuerySet[PairSuggestion]:
    """With what one line about a pair says, in one query."""
    return pairs.select_related(
        "first__finder", "second__finder", "first__hunt", "second__hunt", "first__group", "second__group"
    )


def pair_row(pair: PairSuggestion) -> dict[str, Any]:
    """A pair as a page shows it: the finds in the order of finding, what speaks for and against, and how it stands."""
    words, status = STATE_WORDS[PairState(pair.state)]
    return {
        "pair": pair,
        "finds": sorted((pair.first, pair.second), key=lambda find: (find.found_at, find.pk)),
        "reasons": [reason_words(reason) for reason in pair.reasons],
        "score": _("%(min)s of %(most_points)s")
        % {"min": figure(f"{min(pair.score, MOST_POINTS):.0f}"), "most_points": figure(f"{MOST_POINTS:.0f}")},
        "words": _(words),
        "status": status,
    }


def pair_context(pair: PairSuggestion, forms: dict[str, PairForm] | None = None) -> dict[str, Any]:
    """Everything the page of one pair shows. `forms` stand in for those that were sent and not taken."""
    row = pair_row(pair)
    together = pair.first.group_id is not None and pair.first.group_id == pair.second.group_id
    decided = together or pair.state in {PairState.SAME, PairState.APART}
    ways = [how for how in DECISIONS if how != "ask" or pair.state != PairState.ASKED]
    return row | {
        "group": pair.first.group if together else None,
        "events": pair.events.select_related("by"),
        "decisions": [] if decided else [_decision(pair, how, (forms or {}).get(how)) for how in ways],
    }


def _decision(pair: PairSuggestion, how: str, sent: PairForm | None) -> dict[str, Any]:
    button, label = (_(words) for words in DECISIONS[how])
    form = sent or PairForm(initial={"seen": pair.facts_digest}, label=label, auto_id=f"{how}-%s")
    return {"how": how, "button": button, "form": form}


def own_and_other(pair: PairSuggestion, user: User) -> dict[str, Any]:
    """The finds of a pair that this finder may see: their own, and the other one where they may."""
    finds = Find.objects.visible_to(user).filter(pk__in=[pair.first_id, pair.second_id])
    asked = pair.events.filter(verb=PairEvent.Verb.ASKED).select_related("by").last()
    return {"finds": list(finds.select_related("finder", "hunt").order_by("found_at", "pk")), "asked": asked}


def said_of(find: Find, user: User) -> QuerySet[PairEvent]:
    """What this finder proposed about `find` and others of theirs."""
    events = PairEvent.objects.filter(Q(pair__first=find) | Q(pair__second=find))
    events = events.filter(by=user, verb=PairEvent.Verb.PROPOSED)
    return events.select_related("pair__first", "pair__second")


def group_context(group: FindGroup, form: GroupAddForm | None = None) -> dict[str, Any]:
    """Everything the page of one group shows: its finds in the order of finding, and what became of it."""
    finds = list(group.finds.select_related("finder", "hunt", "site").order_by("found_at", "pk"))
    records = latest_records(finds)
    return {
        "group": group,
        "days": _by_day(finds, {key: shown(record) for key, record in records.items()}),
        "count": len(finds),
        "cases": Case.objects.filter(finds__in=finds).distinct(),
        "events": group.events.select_related("by", "find"),
        "form": form or GroupAddForm(),
    }


def _by_day(finds: Sequence[Find], screenings: dict[int, Any]) -> list[dict[str, Any]]:
    """The finds of each day, the first day first: later company can change what an earlier find is owed."""
    days: dict[Any, list[dict[str, Any]]] = {}
    for find in finds:
        row = {"find": find, "screening": screenings.get(find.pk)}
        days.setdefault(localdate(find.found_at), []).append(row)
    return [{"day": day, "rows": rows} for day, rows in days.items()]
