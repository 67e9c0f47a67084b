"""An incident with its drill, whom to call, the place to read out, and what this reader may do about it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from finds.models import Find, FindDrill
from finds.points import all_shown_to
from hunts.actions.incident_course import leads
from hunts.actions.incident_photos import may_photograph
from hunts.drills import DrillShown, drill_for
from hunts.forms import CloseIncidentForm, FreeForm, IncidentPhotosForm, LiftForm
from hunts.models import Hole, Incident, IncidentEvent
from hunts.points import incident_shown_to, shown_to
from hunts.states import HuntState
from people.models import Contact, User
from people.rights import Right
from people.sensitivity import ShownPoint


@dataclass(frozen=True, slots=True)
class Stop:
    """One incident as a page shows it; `row` is its drill, or None where its kind has none."""

    incident: Incident
    row: DrillShown | None
    events: list[IncidentEvent]
    did_it: bool
    may: dict[str, bool]

    @property
    def is_open(self) -> bool:
        return self.incident.closed_at is None


def stops_shown(incidents: Iterable[Incident], user: User) -> list[Stop]:
    """Incidents with drill, contacts and history, in a fixed number of queries. Hunt and site should be loaded."""
    rows = list(incidents)
    contacts = list(Contact.objects.all()) if rows else []
    events: dict[int, list[IncidentEvent]] = {row.pk: [] for row in rows}
    for event in IncidentEvent.objects.filter(incident__in=rows).select_related("by"):
        events[event.incident_id].append(event)
    return [_stop(row, events[row.pk], contacts, user) for row in rows]


def _stop(incident: Incident, events: list[IncidentEvent], contacts: list[Contact], user: User) -> Stop:
    site = incident.site or incident.hunt.sites.first()  # kept with the incident only since there are stops
    law = site.jurisdiction if site else ""
    did_it = any(event.verb == IncidentEvent.Verb.DONE and event.by_id == user.pk for event in events)
    return Stop(
        incident, drill_for(incident.kind, law, contacts), events, did_it, _may(incident, user, did_it)
    )


def _may(incident: Incident, user: User, did_it: bool) -> dict[str, bool]:
    leading, is_open = leads(incident, user), incident.closed_at is None
    stopping = (
        is_open
        and incident.kind in Incident.STOPS_THE_HUNT
        and incident.stop_lifted_at is None
        and incident.hunt.state == HuntState.RUNNING
    )
    return {
        "do": is_open and incident.kind in Incident.LOCKING and not did_it,
        "take_over": leading and is_open and incident.taken_over_at is None,
        "lift": leading and stopping,
        "close": leading and is_open,
        "free": user.holds(Right.REVIEW_CASES) and not is_open and incident.locked,
        "enter": user.holds(Right.MANAGE_CLUB),
    }


def stops_of_finds(finds: Iterable[Find], user: User) -> list[Stop]:
    """The open incidents that these finds opened: they come before everything else on their page."""
    drills = FindDrill.objects.filter(find__in=list(finds)).values("incident")
    rows = Incident.objects.open().filter(pk__in=drills).select_related("hunt__leader", "site")
    return stops_shown(rows.order_by("pk"), user)


def first_stop(finds: Iterable[Find], user: User) -> Incident | None:
    """The first open incident that any of these finds opened: where to go before anything else is shown."""
    drills = FindDrill.objects.filter(find__in=list(finds)).values("incident")
    return Incident.objects.visible_to(user).open().filter(pk__in=drills).order_by("pk").first()


def incident_page(incident: Incident, user: User, *, at: datetime) -> dict[str, Any]:
    """The page of one incident. Its hunt, site, hole and people should be loaded."""
    finds = Find.objects.visible_to(user).filter(drills__incident=incident).select_related("hunt", "site")
    rows = list(finds.order_by("pk"))
    points = all_shown_to(rows, user, at=at, where="incident page")
    return {
        "stop": stops_shown([incident], user)[0],
        "finds": [{"find": find, "point": points[find.pk]} for find in rows],
        "hole": _hole(incident, user),
        "photos": incident.photos.select_related("added_by"),
        "may_add_photos": may_photograph(incident, user),
        "point": next((points[find.pk] for find in rows if points[find.pk]), None)
        or _own_place(incident, user, at=at),
        "photosform": IncidentPhotosForm(auto_id="photos-%s"),
        "liftform": LiftForm(auto_id="lift-%s"),
        "closeform": CloseIncidentForm(auto_id="close-%s"),
        "freeform": FreeForm(auto_id="free-%s"),
    }


def _hole(incident: Incident, user: User) -> Hole | None:
    holes = Hole.objects.visible_to(user).filter(incidents=incident)
    return holes.select_related("hunt", "site").first()


def _own_place(incident: Incident, user: User, *, at: datetime) -> ShownPoint | None:
    """The place of the hole, else the place that was given with the incident."""
    hole = _hole(incident, user)
    if hole is not None:
        return shown_to(hole, user, at=at, where="incident page")
    if incident.site is None:
        return None
    return incident_shown_to(incident, user, incident.site.country, at=at, where="incident page")
