"""What stops a running hunt, for everybody on it: where by site code only, never by place.

Decided: what may explode is named, because everybody has to leave; bones are not, because a crowd round them is
the harm. Members learn the site's code and whom to obey. Holes and finds can still be recorded, so that nothing that
was dug is lost. The leader or the committee lets the hunt go on, with the reason, on the incident's own page.
"""

from dataclasses import dataclass

from django.utils.translation import gettext_lazy as _lazy

from hunts.models import Hunt, Incident

WORDS = {
    Incident.Kind.ORDNANCE: (
        _lazy("Something that may explode was reported"),
        _lazy("Do not touch anything and do not dig. Leave the field the way the leader says, and stay out."),
    ),
    Incident.Kind.REMAINS: (
        _lazy("The hunt has stopped"),
        _lazy(
            "Stop digging where you are and switch off. Come to the leader; keep away from anybody who is keeping "
            "watch."
        ),
    ),
}


@dataclass(frozen=True, slots=True)
class StopOfHunt:
    """A banner: `what` happened, on which site, and what to do."""

    what: str
    site: str
    do: str
    incident: Incident


def stops_of_hunt(hunt: Hunt) -> list[StopOfHunt]:
    """The stops of a running hunt that nobody has lifted, the most dangerous first."""
    rows = Incident.objects.stopping().filter(hunt=hunt).select_related("site")
    shown = [_stop(row) for row in rows.order_by("pk")]
    return sorted(shown, key=lambda stop: stop.incident.kind != Incident.Kind.ORDNANCE)


def _stop(incident: Incident) -> StopOfHunt:
    what, do = WORDS[Incident.Kind(incident.kind)]
    return StopOfHunt(str(what), incident.site.code if incident.site else "", str(do), incident)
