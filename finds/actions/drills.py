"""Stop: open the incidents that a find's answers call for, keep why an answer was taken back, and end the lock."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from finds.actions.locks import lock_find, match_hole, match_lock
from finds.models import Find, FindDrill
from finds.stops import stops_of
from hunts.actions import free_incident, open_incident, renew_incident, take_back
from hunts.models import Incident
from law.facts import FindFacts
from law.words import WORDS
from people.models import User
from tongue import all_of


class DrillStandsError(Exception):
    """An answer that had stopped everything is gone, and nobody said why."""

    def __init__(self, kinds: list[str]) -> None:
        words = all_of(Incident.Kind(kind).label.lower() for kind in kinds)
        super().__init__(
            _(
                "This record said: %(words)s. That opened an incident, and people may be acting on it. "
                "Say why it is taken back; the incident and the lock stay until the committee ends them."
            )
            % {"words": words}
        )


def open_stops(find: Find, facts: FindFacts, *, by: User | None, at: datetime) -> None:
    """Open an incident for each thing said that stops everything, and lock find and hole. Inside a transaction.

    Once for a find and kind: the find's row is held, and the table itself refuses a second. What was taken back and
    is said again opens its incident anew; what the committee has ended stays ended while nothing new is said.
    """
    stops = stops_of(facts)
    if not stops:
        return
    Find.objects.select_for_update(of=("self",)).get(pk=find.pk)
    there = {drill.kind: drill for drill in find.drills.select_related("incident")}
    for kind, names in stops.items():
        drill, words = there.get(kind), _words(find, names)
        if drill is None:
            _open(find, kind, words, by=by or find.recorded_by, at=at)
        elif not drill.said:
            FindDrill.objects.filter(pk=drill.pk).update(said=True)
            renew_incident(drill.incident, by=by or find.recorded_by, at=at, words=words)
        elif not drill.incident.locked:
            continue  # the committee has ended it, and nothing new was said
        lock_find(find, by=by, at=at)


def _words(find: Find, names: tuple[str, ...]) -> str:
    return _("Find %(find_number)s: %(names)s") % {
        "find_number": find.number,
        "names": " ".join(WORDS[name][0] for name in names),
    }


def _open(find: Find, kind: str, words: str, *, by: User, at: datetime) -> FindDrill:
    incident = open_incident(
        find.hunt,
        kind,
        site=find.site,
        hole=find.hole,
        whose=find.finder,
        by=by,
        at=at,
        words=words,
        since=find.found_at,
    )
    return FindDrill.objects.create(find=find, kind=kind, incident=incident, opened_at=at)


def withdraw_stops(find: Find, facts: FindFacts, *, by: User, at: datetime, why: str) -> None:
    """Keep why an answer that had stopped everything is gone. Inside a transaction, before the find is screened.

    Raises DrillStandsError when there is such an answer and no reason: the whole change is then refused.
    """
    stops = stops_of(facts)
    gone = [
        drill for drill in find.drills.select_related("incident") if drill.said and drill.kind not in stops
    ]
    if gone and not why.strip():
        raise DrillStandsError([drill.kind for drill in gone])
    for drill in gone:
        FindDrill.objects.filter(pk=drill.pk).update(said=False)
        take_back(
            drill.incident,
            by=by,
            at=at,
            why=_("Find %(number)s: %(why)s") % {"number": find.number, "why": why.strip()},
        )


@transaction.atomic
def free_place(incident_id: int, *, by: User, at: datetime, why: str) -> Incident:
    """The committee ends the lock of an incident: its finds and hole open unless a case or another incident holds them.

    Raises PermissionDenied, and HuntError while the incident is open or without a reason.
    """
    incident = free_incident(incident_id, by=by, at=at, why=why)
    finds = Find.objects.select_for_update(of=("self",)).filter(drills__incident=incident)
    for find in finds.select_related("hole"):
        match_lock(find, by=by, at=at)
    if incident.hole is not None:
        match_hole(incident.hole, by=by, at=at)
    return incident
