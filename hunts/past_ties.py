"""What ties a past outing to records made of it: each app says here what has to stay and why, and follows a new day."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime

from django.utils.translation import gettext as _

from hunts.models import Hunt
from people.models import User


@dataclass(frozen=True)
class Tied:
    """What has to stay, each with its reason in the reader's language: fields by name, sites and people by key."""

    fields: dict[str, str] = field(default_factory=dict)
    sites: dict[int, str] = field(default_factory=dict)
    people: dict[int, str] = field(default_factory=dict)

    def __or__(self, other: "Tied") -> "Tied":
        """Both together; where both hold something, the first reason is said."""
        return Tied(other.fields | self.fields, other.sites | self.sites, other.people | self.people)


Ask = Callable[[Hunt], Tied]
Follow = Callable[[Hunt, User, datetime], None]
_ASKED: list[Ask] = []
_FOLLOWING: list[Follow] = []


def register(ask: Ask, follow: Follow | None = None) -> None:
    """Called as an app above starts: hunts know nothing of finds and reports, and these know what they rest on."""
    _ASKED.append(ask)
    if follow is not None:
        _FOLLOWING.append(follow)


def tied(hunt: Hunt) -> Tied:
    """Everything that has to stay as it is on record, in a few queries."""
    found = _own(hunt)
    for ask in _ASKED:
        found |= ask(hunt)
    return found


def follow_day(hunt: Hunt, *, by: User, at: datetime) -> None:
    """The outing has another day: let what hangs on it follow. Inside the transaction that moved it."""
    for follow in _FOLLOWING:
        follow(hunt, by, at)


def _own(hunt: Hunt) -> Tied:
    """What the outing itself carries with times of its own: tracks, holes, readings, settings, incidents."""
    carried = {
        _("a track"): hunt.tracks,
        _("a hole"): hunt.holes,
        _("a ground reading"): hunt.ground_readings,
        _("a kit setting"): hunt.set_ups,
        _("an incident"): hunt.incidents,
    }
    first = next((words for words, rows in carried.items() if rows.exists()), "")
    why = _("It stays: %(what)s of this outing carries times of that day.") % {"what": first}
    dug = _("It stays: a hole is recorded on it.")
    return Tied(
        {"on": why} if first else {},
        dict.fromkeys(hunt.holes.values_list("site_id", flat=True), dug),
        dict.fromkeys(
            [*hunt.tracks.values_list("user_id", flat=True), *hunt.holes.values_list("digger_id", flat=True)],
            _("%(name)s stays: a track or hole of theirs is recorded."),
        ),
    )
