"""Keep a track once, take it away, draw it again."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from geo.gpx import Line
from geo.track_same import same_walk_share
from hunts.actions.locks import locked_hunt
from hunts.errors import TrackError
from hunts.models import Hunt, SignUp, Track, TrackCover
from hunts.states import HuntState
from hunts.trace import unpack_trace
from hunts.track_intake import SAME_WALK, PreparedTrack, prepare_track
from people import audit
from people.models import User
from people.rights import Right, require
from web.once import made_before

LONGER = 1.1  # so many times the points of the track that is there, and the new one takes its place
KEPT_IN = frozenset({HuntState.RUNNING, HuntState.CLOSED})


@dataclass(frozen=True)
class Added:
    """The track, and what became of the file: "new", "known" or "longer" than what was there."""

    track: Track
    outcome: str


@transaction.atomic
def add_track(
    hunt_id: int,
    prepared: PreparedTrack,
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    person: User | None = None,
) -> Added:
    """Keep the walk of `person` (default: `by`), once: the same file or the same walk again adds nothing.

    A longer record of a walk that is there takes its place. Raises TrackError before the day, in a hunt that is
    not running or closed, for somebody without a place, and for a walk that is kept for another person.
    """
    require(by, Right.LOG_HOLES)
    hunt, person = locked_hunt(hunt_id), person or by
    _check_may(hunt, person, by, at)
    there = made_before(Track.objects.all(), client_id) or _known(hunt, prepared)
    if there is not None and there.user_id != person.pk:
        raise TrackError(
            _("This walk is kept for somebody else on %(hunt_code)s already; ask the leader to sort it out.")
            % {"hunt_code": hunt.code}
        )
    if there is not None and prepared.columns["points"] <= LONGER * there.points:
        return Added(there, "known")
    track = there or Track(hunt=hunt, user=person, client_id=client_id)
    _write(track, prepared, by=by, at=at)
    outcome = "longer" if there else "new"
    audit.record("track.add", track, by=by, at=at, hunt=hunt.code, outcome=outcome, points=track.points)
    return Added(track, outcome)


def _check_may(hunt: Hunt, person: User, by: User, at: datetime) -> None:
    if person.pk != by.pk:
        require(by, Right.RUN_HUNT)
    if HuntState(hunt.state) not in KEPT_IN or localdate(at) < hunt.on:
        raise TrackError(
            _("%(hunt_code)s is %(hunt_state)s; tracks are added once it runs, from %(hunt_on)s on.")
            % {"hunt_code": hunt.code, "hunt_state": _(hunt.state), "hunt_on": date_format(hunt.on, "j M Y")}
        )
    if not has_place(hunt, person):
        who = (
            _("You hold") if person.pk == by.pk else _("%(person_name)s holds") % {"person_name": person.name}
        )
        raise TrackError(
            _("%(who)s no place on %(hunt_code)s; a track belongs to somebody who came.")
            % {"who": who, "hunt_code": hunt.code}
        )


def has_place(hunt: Hunt, person: User) -> bool:
    """The leader, and everybody who holds a place."""
    return person.pk == hunt.leader_id or SignUp.objects.standing().filter(hunt=hunt, user=person).exists()


def _known(hunt: Hunt, prepared: PreparedTrack) -> Track | None:
    """The track that this file, or this walk saved by another program, is already."""
    for track in Track.objects.filter(hunt=hunt).defer("line"):  # drawn from the trace, and as large
        if track.sha256 == prepared.sha256:
            return track
        if same_walk_share(_lines(track), prepared.lines) >= SAME_WALK:
            return track
    return None


def _lines(track: Track) -> list[Line]:
    return unpack_trace(bytes(track.trace))


def _write(track: Track, prepared: PreparedTrack, *, by: User | None, at: datetime) -> None:
    """The columns and the cover of each site; the caller holds the hunt's lock."""
    track.sha256, track.added_at, track.added_by = prepared.sha256, at, by
    for name, value in prepared.columns.items():
        setattr(track, name, value)
    track.save()
    track.covers.all().delete()
    rows = [TrackCover(track=track, **cover.__dict__) for cover in prepared.covers]
    TrackCover.objects.bulk_create(rows)


@transaction.atomic
def remove_track(track_id: int, *, by: User, at: datetime) -> None:
    """Take a track away: its walker's own choice, or by those who run hunts. Raises PermissionDenied."""
    track = Track.objects.select_for_update(of=("self",)).select_related("hunt").get(pk=track_id)
    if track.user_id != by.pk and not by.holds(Right.RUN_HUNT):
        raise PermissionDenied(_("This is somebody else's track."))
    audit.record("track.remove", track, by=by, at=at, hunt=track.hunt.code, points=track.points)
    track.delete()


@transaction.atomic
def redraw_track(track_id: int, *, at: datetime, via: str) -> Track:
    """Clean and draw a kept track anew, after the way of drawing or a site's first boundary changed.

    Raises GeoError where its hunt's ground no longer holds it; the track then stays as it was.
    """
    track = Track.objects.select_for_update(of=("self",)).select_related("hunt", "added_by").get(pk=track_id)
    prepared = prepare_track(
        track.hunt,
        _lines(track),
        swath_m=track.swath_m,
        accuracy_m=track.accuracy_m,
        sha256=track.sha256,
    )
    prepared.columns.pop("notes")  # the first cleaning saw the whole file, this one only what was kept of it
    _write(track, prepared, by=track.added_by, at=track.added_at)
    audit.record("track.redraw", track, by=None, via=via, at=at, hunt=track.hunt.code)
    return track
