"""Several readings of one spot, a line each, as people note them down: each with its accuracy and time if known."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from geo.errors import PositionError
from geo.fixes import Averaged, Fix, average_fixes
from geo.gridref import UNKNOWN_ACCURACY_M
from geo.local import Local
from geo.position import Country, Position, parse_position
from geo.precision import combined_accuracy_m
from tongue import figure
from tongue import say as _

MOST_READINGS = 20
_STRAY = 1.5
"""A reading is said to stray beyond this many times what the accuracies together allow at 95 %. For a circular
normal error that is 3.7 standard deviations, which one honest reading in about 800 exceeds.
"""
_TIME = re.compile(r"[\s,]*\bat\s+([01]?\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?\s*$", re.I)
_ACCURACY = re.compile(r"[\s,(]*(?:±|\+/-|\+-)\s*(\d+(?:[.,]\d+)?)\s*(?:m|metres?|meters?)?[\s)]*$", re.I)


@dataclass(frozen=True)
class Reading:
    """One line: the place, the 95 % radius in metres and seconds of the day, both None where not said."""

    position: Position
    accuracy_m: float | None
    at_s: float | None


@dataclass(frozen=True)
class Spot:
    """One place out of one reading or several: the 95 % radius is None where nobody said it. `notes` are for people."""

    lon: float
    lat: float
    accuracy_m: float | None
    readings: tuple[Reading, ...]
    notes: tuple[str, ...]


def read_spot(text: str, *, country: Country | None = None, accuracy_m: float | None = None) -> Spot:
    """The place that the lines of `text` name; several are averaged by `geo.fixes.average_fixes`.

    A line may end with its accuracy and time: '53.65121, 0.20034 ±4 m at 14:05:30'. `accuracy_m` (95 %, metres)
    stands for lines without one; where that is None too, each of several readings counts as good to 22 m.
    Raises PositionError naming the line.
    """
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if len(lines) > MOST_READINGS:
        raise PositionError(
            _("%(lines)s readings are too many") % {"lines": len(lines)},
            value=text,
            remedy=_("give the best %(most_readings)s") % {"most_readings": MOST_READINGS},
        )
    many = len(lines) > 1
    readings = tuple(_reading(line, n if many else 0, country) for n, line in enumerate(lines or [text], 1))
    if not many:
        only = readings[0]
        said = only.accuracy_m or accuracy_m or only.position.resolution_m or None
        return Spot(only.position.lon, only.position.lat, said, readings, ())
    fixes = [_fix(reading, accuracy_m) for reading in readings]
    mean = average_fixes(fixes)
    notes = (_mean_words(mean, readings, accuracy_m), *_stray_words(fixes))
    return Spot(mean.lon, mean.lat, mean.accuracy_m, readings, notes)


def _reading(line: str, number: int, country: Country | None) -> Reading:
    """One line read; `number` is 0 where there is only one."""
    time = _TIME.search(line)
    place = line[: time.start()] if time else line
    accuracy = _ACCURACY.search(place)
    place = place[: accuracy.start()] if accuracy else place
    metres = float(accuracy[1].replace(",", ".")) if accuracy else None
    try:
        if metres == 0:
            raise PositionError(
                _("An accuracy of 0 m cannot be"), value=line, remedy=_("give metres above zero")
            )
        position = parse_position(place, country=country)
    except PositionError as error:
        if not number:
            raise
        raise PositionError(
            _("Line %(number)s: %(what)s") % {"number": number, "what": error.what},
            value=error.value,
            remedy=error.remedy,
        ) from error
    seconds = int(time[1]) * 3600.0 + int(time[2]) * 60 + int(time[3] or 0) if time else None
    return Reading(position, metres, seconds)


def _fix(reading: Reading, accuracy_m: float | None) -> Fix:
    """A reading for the mean; never better than its last digit."""
    radius = max(reading.accuracy_m or accuracy_m or UNKNOWN_ACCURACY_M, reading.position.accuracy_m)
    return Fix(reading.position.lon, reading.position.lat, radius, reading.at_s)


def _mean_words(mean: Averaged, readings: Sequence[Reading], accuracy_m: float | None) -> str:
    words = _("The place is the mean of %(count)s readings, good to %(accuracy_m)s m.") % {
        "count": mean.count,
        "accuracy_m": figure(f"{mean.accuracy_m:.1f}"),
    }
    unsaid = sum(reading.accuracy_m is None for reading in readings)
    if unsaid and not accuracy_m:
        words += _(
            " Where a reading came without its accuracy (%(unsaid)s), %(unknown_accuracy_m)s m was taken."
        ) % {"unsaid": unsaid, "unknown_accuracy_m": f"{UNKNOWN_ACCURACY_M:.0f}"}
    return words


def _stray_words(fixes: Sequence[Fix]) -> list[str]:
    """A sentence for each reading that lies farther from the middle of the others than the accuracies allow."""
    local = Local(fixes[0].lon, fixes[0].lat)
    x, y = local.forward([f.lon for f in fixes], [f.lat for f in fixes])
    radius = np.array([f.accuracy_m for f in fixes])
    if len(fixes) == 2:
        apart = float(np.hypot(x[0] - x[1], y[0] - y[1]))
        if apart <= _STRAY * combined_accuracy_m(*radius):
            return []
        return [
            _("The two readings lie %(apart)s m apart, farther than their accuracies allow. Take a third.")
            % {"apart": f"{apart:.0f}"}
        ]
    words = []
    for i in range(len(fixes)):
        rest = np.arange(len(fixes)) != i
        apart = float(np.hypot(x[i] - np.median(x[rest]), y[i] - np.median(y[rest])))
        if apart > _STRAY * combined_accuracy_m(float(radius[i]), float(np.median(radius[rest]))):
            words.append(
                _(
                    "Reading %(i)s lies %(apart)s m from the others, farther than their accuracies allow: "
                    "look whether it was taken at the same spot."
                )
                % {"i": i + 1, "apart": f"{apart:.0f}"}
            )
    return words
