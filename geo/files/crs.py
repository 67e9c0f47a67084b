"""Which coordinate system a file is in: read from what it says, or from an answer, or offered as choices."""

import re
from dataclasses import dataclass
from functools import lru_cache

from pyproj import CRS
from pyproj.exceptions import CRSError

from geo.errors import shown
from geo.files.model import FileError
from tongue import noop
from tongue import say as _

DEGREES = frozenset({"EPSG:4326", "EPSG:4258", "EPSG:4979", "EPSG:4937", "OGC:CRS84"})
"""WGS84 and ETRS89 in degrees: one and the same to better than 1 m, and what a receiver gives."""
NATIONAL_GRID = frozenset({"EPSG:27700", "EPSG:7405"})
AIRY_DEGREES = "EPSG:4277"
IRISH_GRID = frozenset({"EPSG:29900", "EPSG:29902", "EPSG:29903"})
"""TM65 and TM75: the same numbers, and the survey's polynomial serves both."""
_LABELS = {
    "EPSG:4326": "WGS84 longitude and latitude",
    "OGC:CRS84": "WGS84 longitude and latitude",
    "EPSG:27700": "British National Grid",
    "EPSG:4277": "OSGB36 longitude and latitude",
    "EPSG:29902": "Irish Grid",
    "EPSG:29903": "Irish Grid",
    "EPSG:2157": "Irish Transverse Mercator",
    "EPSG:3857": "web map metres (Pseudo-Mercator)",
}
_NAMES = {
    "wgs84": "EPSG:4326",
    "wgs 84": "EPSG:4326",
    "crs84": "EPSG:4326",
    "etrs89": "EPSG:4258",
    "british national grid": "EPSG:27700",
    "national grid": "EPSG:27700",
    "bng": "EPSG:27700",
    "osgb36": "EPSG:27700",
    "irish grid": "EPSG:29903",
    "irish transverse mercator": "EPSG:2157",
    "itm": "EPSG:2157",
    "web mercator": "EPSG:3857",
}
_EPSG = re.compile(r"(?:.*\bepsg\b[.:/#\sxml]*(?:[\d.]*[:/])?)?(\d{4,6})", re.IGNORECASE)
_CRS84 = re.compile(r"(?:.*[:/])?CRS84h?", re.IGNORECASE)
_UTM = re.compile(r"utm(?:\s*zone)?\s*(\d{1,2})\s*([ns])?", re.IGNORECASE)
_GRID_FILES = re.compile(r"nadgrids|geoidgrids|EXTENSION|\+proj", re.IGNORECASE)
_REMEDY = noop(
    "give WGS84, British National Grid, Irish Grid, ITM, a UTM zone such as UTM 31N, or an EPSG code"
)


@dataclass(frozen=True)
class System:
    """A coordinate system: its code ("EPSG:27700", or "" for one that only the file defines) and its name."""

    code: str
    label: str
    definition: CRS

    def __str__(self) -> str:
        return f"{self.label} ({self.code})" if self.code else self.label


def answered(text: str) -> System:
    """The system that somebody named: an EPSG code in any spelling, a common name, or a UTM zone.

    Raises FileError for a name or code that does not exist.
    """
    plain = " ".join(text[:200].split())
    utm = _UTM.fullmatch(plain)
    if plain.lower() in _NAMES:
        return _by_code(_NAMES[plain.lower()])
    if _CRS84.fullmatch(plain):
        return _by_code("EPSG:4326")
    if utm and 1 <= int(utm[1]) <= 60:
        return _by_code(f"EPSG:{327 if (utm[2] or 'n').lower() == 's' else 326}{int(utm[1]):02d}")
    code = _EPSG.fullmatch(plain)
    if code is None:
        raise FileError(
            _("“%(plain)s” is not a coordinate system known here") % {"plain": shown(plain)},
            value=text,
            remedy=_(_REMEDY),
        )
    return _by_code(f"EPSG:{int(code[1])}")


def stated(text: str) -> System | None:
    """The system that a file states, by code or as well-known text (a .prj file); None if it means nothing
    here and must be asked.
    """
    if "[" in text:
        return _from_wkt(text)
    try:
        return answered(text)
    except FileError:
        return None


@lru_cache(maxsize=64)
def _by_code(code: str) -> System:
    try:
        crs = CRS.from_authority(*code.split(":"))
    except CRSError as error:
        raise FileError(
            _("%(code)s is not in the EPSG register") % {"code": code}, value=code, remedy=_(_REMEDY)
        ) from error
    if not (_flat(crs).is_geographic or _flat(crs).is_projected):
        raise FileError(
            _("%(code)s (%(name)s) gives no place on a map") % {"code": code, "name": crs.name},
            value=code,
            remedy=_(_REMEDY),
        )
    return System(code, _LABELS.get(code, crs.name), _flat(crs))


@lru_cache(maxsize=64)
def _from_wkt(text: str) -> System | None:
    """A definition that could name a grid file on this machine is believed only by its code."""
    try:
        crs = CRS.from_wkt(text)
        flat = _flat(crs)
        code = flat.to_epsg(min_confidence=70)
    except (CRSError, ValueError):
        return None
    if code:
        return _by_code(f"EPSG:{code}")
    if _GRID_FILES.search(text) or not (flat.is_geographic or flat.is_projected):
        return None
    return System("", flat.name, flat)


def _flat(crs: CRS) -> CRS:
    """The horizontal part, without a bound datum shift: shifts are chosen here, not by the file."""
    if crs.is_compound:
        crs = crs.sub_crs_list[0]
    if crs.is_bound and crs.source_crs is not None:
        return _flat(crs.source_crs)
    return crs.to_2d() if crs.is_geographic and len(crs.axis_info) > 2 else crs
