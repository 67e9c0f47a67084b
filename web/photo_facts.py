"""When and where a photograph says it was taken, read from its EXIF before that is thrown away."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from PIL import Image
from PIL.ExifTags import GPS, IFD, Base

_WGS84_NAMES = {"", "WGS84"}
TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""What makes each value of the Orientation tag upright; other values stay. Source: Exif 2.32, 4.6.4 A."""


@dataclass(frozen=True)
class PhotoFacts:
    """Camera time without a zone, WGS84 degrees, the radius in metres stated, how to turn it upright."""

    taken_at: datetime | None = None
    lon: float | None = None
    lat: float | None = None
    accuracy_m: float | None = None
    turn: Image.Transpose | None = None


def read_facts(image: Image.Image) -> PhotoFacts:
    """What the EXIF of an opened image says; anything absent, broken or impossible is None, never an error.

    `accuracy_m` is GPSHPositioningError, for which the standard names no confidence level.
    Source: CIPA DC-008 (Exif 2.32), 4.6.5 (DateTimeOriginal) and 4.6.6 (GPS attribute information).
    """
    camera, gps = _block(image, IFD.Exif), _block(image, IFD.GPSInfo)
    lon, lat = _position(gps)
    accuracy_m = _number(gps.get(GPS.GPSHPositioningError)) if lon is not None else None
    if accuracy_m is not None and accuracy_m <= 0:
        accuracy_m = None
    return PhotoFacts(
        _taken_at(camera), lon, lat, accuracy_m, TURNS.get(_block(image).get(Base.Orientation, 1))
    )


def _block(image: Image.Image, ifd: int | None = None) -> Mapping[int, Any]:
    """One directory of the EXIF, or nothing: a broken block must not cost the photograph."""
    try:
        exif = image.getexif()
        return exif if ifd is None else exif.get_ifd(ifd)
    except Exception:  # Pillow raises many kinds over a broken block
        return {}


def _taken_at(camera: Mapping[int, Any]) -> datetime | None:
    for tag in (Base.DateTimeOriginal, Base.DateTimeDigitized):
        text = str(camera.get(tag, "")).strip("\0 ")
        try:
            return datetime.strptime(text, "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007  the camera gives no zone
        except ValueError:
            continue
    return None


def _position(gps: Mapping[int, Any]) -> tuple[float | None, float | None]:
    """Longitude and latitude, or Nones: a void fix, another datum or the empty fix at 0, 0 does not count."""
    datum = _text(gps.get(GPS.GPSMapDatum)).upper().replace("-", "").replace(" ", "")
    if datum not in _WGS84_NAMES or _text(gps.get(GPS.GPSStatus)).upper() == "V":
        return None, None
    lat = _degrees(gps.get(GPS.GPSLatitude), gps.get(GPS.GPSLatitudeRef), "N", "S", 90)
    lon = _degrees(gps.get(GPS.GPSLongitude), gps.get(GPS.GPSLongitudeRef), "E", "W", 180)
    if lat is None or lon is None or (lat == 0 and lon == 0):
        return None, None
    return lon, lat


def _degrees(parts: Any, ref: Any, plus: str, minus: str, limit: int) -> float | None:
    side = _text(ref).upper()
    if side not in (plus, minus) or not isinstance(parts, tuple) or len(parts) != 3:
        return None
    numbers = [_number(part) for part in parts]
    if any(number is None or number < 0 for number in numbers):
        return None
    degrees = sum((number or 0.0) / 60**power for power, number in enumerate(numbers))
    return None if degrees > limit else (-degrees if side == minus else degrees)


def _number(value: Any) -> float | None:
    """A finite float, or None: EXIF rationals may have a zero below the line."""
    try:
        number = float(value)
    except (TypeError, ValueError, ZeroDivisionError, OverflowError):
        return None
    return number if math.isfinite(number) else None


def _text(value: Any) -> str:
    if isinstance(value, bytes):
        value = value.decode("ascii", "replace")
    return str(value or "").strip("\0 ")
