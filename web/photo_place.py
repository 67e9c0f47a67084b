"""Where a photograph was taken against the place that was given: far apart is worth a question. Nothing is kept here.

A place read from a photograph goes back to nobody but whoever sent it, in the form that it came with.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from geo.gridref import UNKNOWN_ACCURACY_M, describe_position
from geo.inside import Verdict, judge_inside
from geo.measure import GEOD, Shape
from geo.morton import cell_of
from geo.position import Country
from geo.precision import Measure, combined_accuracy_m, to_r95
from web.photos import TakenPhoto
from web.position_model import Method

NEVER_CLOSER_M = 50.0
"""Common practice: a photograph is often taken some steps from the hole; nearer than this nobody is asked."""
_MOST = 12


@dataclass(frozen=True, slots=True)
class PhotoPlace:
    """A photograph's place in WGS84 degrees and its 95 % radius in metres."""

    lon: float
    lat: float
    accuracy_m: float

    def distance_m(self, columns: dict[str, Any]) -> float:
        """Metres on the ellipsoid to the place in a PositionModel's `columns`."""
        return float(GEOD.inv(self.lon, self.lat, columns["lon"], columns["lat"])[2])

    def is_far_from(self, columns: dict[str, Any]) -> bool:
        """Farther than both accuracies together allow at 95 %, and never nearer than `NEVER_CLOSER_M`."""
        given_m = UNKNOWN_ACCURACY_M if columns["accuracy_m"] is None else columns["accuracy_m"]
        return self.distance_m(columns) > max(NEVER_CLOSER_M, combined_accuracy_m(self.accuracy_m, given_m))

    def is_on(self, boundary: Shape) -> bool:
        """Is it inside the boundary, or so near that it may be?"""
        judged = judge_inside(boundary, self.lon, self.lat, self.accuracy_m)
        return judged.verdict is not Verdict.OUTSIDE

    def words(self, country: Country) -> str:
        return describe_position(self.lon, self.lat, self.accuracy_m, country)

    def columns(self) -> dict[str, Any]:
        """As columns of a PositionModel."""
        return {
            "lon": self.lon,
            "lat": self.lat,
            "accuracy_m": self.accuracy_m,
            "position_method": Method.PHOTO,
            "position_text": "",
            "position_system": "wgs84",
            "transformation": "",
            "transformation_accuracy_m": None,
            "cell": cell_of(self.lon, self.lat),
        }


def place_of(photo: TakenPhoto) -> PhotoPlace | None:
    """The place in a photograph's EXIF, if it holds one.

    The standard names no confidence for its error figure; it is taken as the radius of 68 %, as phones write it.
    Without one, 22 m is assumed. Source: CIPA DC-008 (Exif 2.32), 4.6.6, GPSHPositioningError.
    """
    if photo.lon is None or photo.lat is None:
        return None
    radius = UNKNOWN_ACCURACY_M if photo.accuracy_m is None else to_r95(photo.accuracy_m, Measure.R68)
    return PhotoPlace(photo.lon, photo.lat, radius)


def places_of(photos: Iterable[TakenPhoto]) -> list[PhotoPlace]:
    return [place for place in map(place_of, photos) if place is not None]


def to_text(places: Iterable[PhotoPlace]) -> str:
    """The places as a hidden field carries them."""
    return ";".join(f"{p.lat:.7f},{p.lon:.7f},{p.accuracy_m:.2f}" for p in list(places)[:_MOST])


def from_text(text: str) -> list[PhotoPlace]:
    """The places out of a hidden field. What cannot be a place is passed over: only its sender loses by that."""
    found = []
    for part in text.split(";")[:_MOST]:
        try:
            lat, lon, accuracy_m = (float(number) for number in part.split(","))
        except ValueError:
            continue
        if abs(lat) <= 90 and abs(lon) <= 180 and 0 < accuracy_m < 100_000:
            found.append(PhotoPlace(lon, lat, accuracy_m))
    return found
