"""Which systems unlabelled numbers could be in, each with the place it would mean."""

import math
from collections.abc import Iterator

import numpy as np

from geo.files.crs import answered
from geo.files.model import CrsChoice, CrsUnknownError, FileError
from geo.files.to_wgs84 import cannot_be_degrees, points_to_wgs84
from geo.local import Floats
from geo.utm import zone_at
from tongue import one_of
from tongue import say as _

_NATIONAL = ("EPSG:27700", "EPSG:29903", "EPSG:2157")
_DEGREES = ("EPSG:4326", "EPSG:4277")
_WEB = "EPSG:3857"
_ZONES = (30, 31, 29, 32)
"""UTM zones of the British Isles and their neighbours, offered where the club's place is not given."""
_MIDDLE = (2.0, 54.0)
_FAR_DEG = 30.0
Place = tuple[float, float]


def unknown_crs(x: Floats, y: Floats, said: str | None, near: Place | None = None) -> CrsUnknownError:
    """The error that asks, with the likely answers. `said` is what the file states and nobody knows; `near`
    the club's own place (longitude, latitude), to put the answers that lie close to it first.
    """
    choices = tuple(_ordered(list(possible(x, y, near)), near))
    numbers = f"{x[0]:.10g}, {y[0]:.10g}"
    what = (
        _("The file says its system is “%(said)s”, which is not known here") % {"said": said[:60]}
        if said
        else _("The file does not say which coordinate system its numbers are in")
    )
    cannot = said is None and cannot_be_degrees(x, y)
    what += (
        _(", and %(numbers)s cannot be degrees") % {"numbers": numbers}
        if cannot
        else _(" (the first is %(numbers)s)") % {"numbers": numbers}
    )
    could = one_of(choice.label for choice in choices[:4])
    asked = (
        _("say which it is: it could be %(could)s") % {"could": could}
        if could
        else _("say which it is, by its EPSG code")
    )
    return CrsUnknownError(what, value=numbers, remedy=asked, choices=choices)


def possible(x: Floats, y: Floats, near: Place | None = None) -> Iterator[CrsChoice]:
    """Every offered system that the numbers can be in, and where their middle would lie."""
    codes = (*_NATIONAL, *_zones(near), _WEB) if cannot_be_degrees(x, y) else _DEGREES
    corners = np.array([x.min(), x.max()]), np.array([y.min(), y.max()])
    for system in map(answered, codes):
        try:
            lon, lat = points_to_wgs84(*corners, system, lambda _: None)
        except FileError:
            continue
        choice = CrsChoice(system.code, system.label, float(lon.mean()), float(lat.mean()))
        # UTM and web map metres hold nearly everywhere, so they are offered only on this side of the world.
        if system.code in (*_NATIONAL, *_DEGREES) or _distance(choice, near or _MIDDLE) < _FAR_DEG:
            yield choice


def _zones(near: Place | None) -> tuple[str, ...]:
    zones: tuple[int, ...] = _ZONES
    if near is not None:
        own = zone_at(*near)
        zones = (own, own % 60 + 1, (own - 2) % 60 + 1)
    half = "327" if near is not None and near[1] < 0 else "326"
    return tuple(f"EPSG:{half}{zone:02d}" for zone in zones)


def _distance(choice: CrsChoice, near: Place) -> float:
    """In degrees of latitude, roughly."""
    return math.hypot((choice.lon - near[0]) * math.cos(math.radians(near[1])), choice.lat - near[1])


def _ordered(choices: list[CrsChoice], near: Place | None) -> list[CrsChoice]:
    """The nearest to the club first; as offered where its place is not given."""
    return choices if near is None else sorted(choices, key=lambda choice: _distance(choice, near))
