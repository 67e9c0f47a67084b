"""Cleaning a recorded track:

what was walked on this ground on this day, how far, and what was left out and why.
"""

from calendar import month_name
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from geo.errors import GeoError
from geo.gpx import Line
from geo.local import Local
from geo.track_parts import GAP_S, Part, breaks, in_order, smooth_length_m, usual_interval_s, without_stops
from tongue import figure, say_many
from tongue import say as _

Floats = NDArray[np.float64]

CLIP_M = 10.0
DEFAULT_ACCURACY_M = 5.0  # a phone under open sky, 95 %
ROLLOVER_S = 1024 * 7 * 86_400  # a receiver's week counter has 10 bits (IS-GPS-200, section 20.3.3.3.1.1)
RAW_ERROR_M = 1_000_000.0


class TrackError(GeoError):
    """A track of which nothing can be used here."""


@dataclass(frozen=True)
class Strays:
    """Points outside the boundary or inside no-go ground by more than the accuracy, and lon/lat of the
    first of each.
    """

    outside: int
    in_no_go: int
    first_outside: tuple[float, float] | None
    first_in_no_go: tuple[float, float] | None


@dataclass(frozen=True)
class Walk:
    """A cleaned track on a site's metre grid.

    `parts` are (n, 2) metres for `geo.coverage.draw`; `length_m` is smoothed and without stops; `moving_s`
    and `stopped_s` are 0 without times; `started_s`, `ended_s` POSIX seconds or None; `notes` plain
    sentences.
    """

    parts: tuple[Floats, ...]
    length_m: float
    moving_s: float
    stopped_s: float
    stops: int
    started_s: float | None
    ended_s: float | None
    strays: Strays
    notes: tuple[str, ...]

    @property
    def pace_m_s(self) -> float | None:
        """Forward speed while moving, to set against the plan's; None without times."""
        return self.length_m / self.moving_s if self.moving_s else None


def clean_track(
    lines: Iterable[Line],
    local: Local,
    boundary: Any,
    *,
    no_go: Sequence[Any] = (),
    day: tuple[datetime, datetime] | None = None,
    accuracy_m: float = DEFAULT_ACCURACY_M,
) -> Walk:
    """What was walked within 10 m of the site.

    `lines` as read from GPX; `boundary` and `no_go` polygons in metres on `local`; `day` the aware start
    and end within which the hunt's points must lie; `accuracy_m` the receiver's 95 % radius, allowed for in
    `strays`. Each line is put in order, freed of repeats, limited to the day and the ground, broken at gaps
    and vehicle speed, and its stops drawn together. Raises TrackError when no stretch on this ground is
    left, saying why.
    """
    notes = _Notes()
    drawn = (line for line in lines if len(line.lon_lat))
    parts = [part for line in drawn if (part := _prepared(line, local, day, notes))]
    near = [kept for part in parts if (kept := _near(part, boundary, notes))]
    if not near:
        raise TrackError(
            _("Nothing in this track lies on this ground and day"), value=notes.said(), remedy=notes.why()
        )
    strays = _strays(np.concatenate([part.place_m for part in near]), local, boundary, no_go, accuracy_m)
    stretches = [stretch for part in near for stretch in _stretches(part, notes)]
    if not stretches:
        what = _("This track has only single points on this ground")
        raise TrackError(
            what, value=len(near), remedy=_("set the receiver to record a point every few seconds")
        )
    walked = [without_stops(stretch) for stretch in stretches]
    stopped_s = sum(seconds for _part, _stops, seconds in walked)
    times = np.concatenate([part.time_s for part in stretches])
    known = times[~np.isnan(times)]
    return Walk(
        parts=tuple(part.place_m for part, _stops, _seconds in walked),
        length_m=sum(smooth_length_m(part) for part, _stops, _seconds in walked),
        moving_s=max(0.0, sum(part.seconds for part in stretches) - stopped_s),
        stopped_s=stopped_s,
        stops=sum(stops for _part, stops, _seconds in walked),
        started_s=float(known.min()) if len(known) else None,
        ended_s=float(known.max()) if len(known) else None,
        strays=strays,
        notes=notes.said(),
    )


class _Notes:
    """Counts what was left out, and says it once."""

    def __init__(self) -> None:
        self.repeats = self.off_day = self.far = self.gaps = 0
        self.timeless = self.muddled = False
        self.fast_m = self.farthest_m = self.interval_s = 0.0
        self.wrong_day = ""

    def said(self) -> tuple[str, ...]:
        every = _("The receiver wrote a point every %(interval_s)s s") % {
            "interval_s": f"{self.interval_s:.0f}"
        }
        told = (
            (
                self.timeless,
                _(
                    "The track has no times on some or all points: speed, stops and the day cannot be checked there."
                ),
            ),
            (self.muddled, _("Points stood out of order and were sorted by time.")),
            *self._left_out(),
            (
                self.fast_m,
                _("%(fast_m)s m were faster than 2.5 m/s and are not drawn: vehicle or receiver leap.")
                % {"fast_m": f"{self.fast_m:.0f}"},
            ),
            (
                self.gaps,
                say_many(
                    "The track has %(count)s gap; nothing is drawn across.",
                    "The track has %(count)s gaps; nothing is drawn across.",
                    self.gaps,
                )
                % {"count": self.gaps},
            ),
            (
                self.interval_s > GAP_S,
                _("%(every)s; between points the way is drawn straight.") % {"every": every},
            ),
        )
        return tuple(sentence for happened, sentence in told if happened)

    def _left_out(self) -> tuple[tuple[float | str, str], ...]:
        km = (
            _("more than 1000") if self.farthest_m >= RAW_ERROR_M else figure(f"{self.farthest_m / 1000:.1f}")
        )
        return (
            (
                self.repeats,
                say_many(
                    "%(count)s repeated point was left out.",
                    "%(count)s repeated points were left out.",
                    self.repeats,
                )
                % {"count": self.repeats},
            ),
            (self.wrong_day, self.wrong_day),
            (
                self.off_day,
                say_many(
                    "%(count)s point of another day left out.",
                    "%(count)s points of another day left out.",
                    self.off_day,
                )
                % {"count": self.off_day},
            ),
            (
                self.far,
                say_many(
                    "%(count)s point lies more than 10 m beyond this site (the farthest %(km)s km): left out.",
                    "%(count)s points lie more than 10 m beyond this site (the farthest %(km)s km): left out.",
                    self.far,
                )
                % {"count": self.far, "km": km},
            ),
        )

    def why(self) -> str:
        return " ".join(self.said()).rstrip(".") or _("give a track with at least two points")


def _prepared(line: Line, local: Local, day: tuple[datetime, datetime] | None, notes: _Notes) -> Part | None:
    """The line in metres, in order and on the day."""
    x, y = local.forward(line.lon_lat[:, 0], line.lon_lat[:, 1])
    place = np.column_stack([x, y])
    # So far from the site the projection means nothing; such points are as far as can be.
    place[~np.isfinite(place).all(axis=1) | (np.abs(place) > RAW_ERROR_M).any(axis=1)] = RAW_ERROR_M
    part, repeats, muddled = in_order(_timed(Part(place, line.time_s)))
    notes.repeats += repeats
    notes.muddled |= muddled
    notes.timeless |= part.is_timeless
    notes.interval_s = max(notes.interval_s, usual_interval_s(part))
    return _on_day(part, day, notes) if len(part.place_m) else None


def _timed(part: Part) -> Part:
    """Drop the few points without a time where nearly all have one."""
    known = ~np.isnan(part.time_s)
    return part.pick(known) if known.mean() > 0.9 else Part(part.place_m, np.full(len(known), np.nan))


def _on_day(part: Part, day: tuple[datetime, datetime] | None, notes: _Notes) -> Part | None:
    """Points of the hunt's day.

    A track wholly of another day is kept if the receiver's calendar explains it.
    """
    if day is None or part.is_timeless:
        return part
    low, high = day[0].timestamp(), day[1].timestamp()
    on = (part.time_s >= low) & (part.time_s <= high)
    if on.any():
        notes.off_day += int((~on).sum())
        return part.pick(on)
    weeks = round((low - part.time_s[0]) / ROLLOVER_S)
    shifted = part.time_s + weeks * ROLLOVER_S
    said = datetime.fromtimestamp(part.time_s[0], UTC)
    if weeks and ((shifted >= low) & (shifted <= high)).all():
        notes.wrong_day = _(
            "The receiver says %(said)s: its week counter has run over. The times were moved by "
            "%(weeks)s weeks to the hunt's day."
        ) % {"said": _day(said), "weeks": weeks * 1024}
        return Part(part.place_m, shifted)
    notes.wrong_day = _("The track is of %(said)s, not of the hunt's day (%(day)s).") % {
        "said": _day(said),
        "day": _day(day[0]),
    }
    return None


def _day(at: datetime) -> str:
    return f"{at:%d} {_(month_name[at.month])} {at.year}"


def _near(part: Part, boundary: Any, notes: _Notes) -> Part | None:
    """Points within 10 m of the site; a break stays where points were cut away."""
    shapely.prepare(boundary)
    points = shapely.points(part.place_m)
    near = shapely.dwithin(points, boundary, CLIP_M)
    if not near.all():
        notes.far += int((~near).sum())
        notes.farthest_m = max(notes.farthest_m, float(shapely.distance(points[~near], boundary).max()))
    return part.pick(near) if near.any() else None


def _stretches(part: Part, notes: _Notes) -> list[Part]:
    pieces, gaps, fast_m = breaks(part)
    notes.gaps += gaps
    notes.fast_m += fast_m
    return pieces


def _strays(places: Floats, local: Local, boundary: Any, no_go: Sequence[Any], accuracy_m: float) -> Strays:
    """Points certainly beyond the boundary or in no-go ground: by more than `accuracy_m`."""
    points = shapely.points(places)
    outside = ~shapely.dwithin(points, boundary, accuracy_m)
    shut = shapely.union_all([area.buffer(-accuracy_m) for area in no_go])
    shapely.prepare(shut)
    inside = shapely.intersects(points, shut)
    return Strays(
        outside=int(outside.sum()),
        in_no_go=int(inside.sum()),
        first_outside=_first(places, outside, local),
        first_in_no_go=_first(places, inside, local),
    )


def _first(places: Floats, chosen: NDArray[np.bool_], local: Local) -> tuple[float, float] | None:
    if not chosen.any():
        return None
    lon, lat = local.inverse(*places[np.argmax(chosen)])
    return float(lon), float(lat)
