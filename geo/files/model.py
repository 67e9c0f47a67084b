"""What a file of boundaries comes apart into, the errors it can raise, and how much of it is read."""

from dataclasses import dataclass, field
from typing import Any, Final

import shapely

from geo.errors import GeoError, shown
from geo.files.left_out import left_out
from tongue import figure, say_many
from tongue import say as _

Properties = dict[str, str | int | float | bool | None]
MAX_PROPERTIES = 80
MAX_TEXT = 500
_NAME_KEYS: Final = (
    "name",
    "title",
    "site",
    "field",
    "label",
    "description",
    "ref",
    "reference",
    "id",
    "fid",
)


class FileError(GeoError):
    """A file that cannot be read as boundaries, with the value that was wrong and the remedy."""


@dataclass(frozen=True)
class CrsChoice:
    """A coordinate system that a file could be in: its code, its name, and where the file's middle would lie
    (WGS84 degrees).
    """

    code: str
    label: str
    lon: float
    lat: float


class CrsUnknownError(FileError):
    """The file does not say what its numbers mean. `choices` are the likely answers, the likeliest first."""

    def __init__(self, what: str, *, value: object, remedy: str, choices: tuple[CrsChoice, ...]) -> None:
        super().__init__(what, value=value, remedy=remedy)
        self.choices = choices


@dataclass(frozen=True)
class NamedShape:
    """One shape: the name the file gives it, GeoJSON geometry in WGS84 longitude and latitude without
    heights, and its attributes.
    """

    name: str
    geometry: dict[str, Any]
    properties: Properties


@dataclass(frozen=True)
class ReadFile:
    """What a file held.

    `crs` is code and name of the system its numbers were in; `crs_known` is true if the file said so itself
    and false if that was answered; `notes` are sentences about what was skipped, closed or assumed.
    """

    format: str
    crs: str
    crs_known: bool
    shapes: tuple[NamedShape, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Limits:
    """The most that is read of one file, so that memory stays bounded whatever it claims."""

    file_bytes: int
    unpacked_bytes: int
    points: int
    shapes: int
    rings: int
    """Rings of one polygon in a format that leaves it to the reader to find out which are holes."""


BOUNDARY_LIMITS: Final = Limits(25_000_000, 40_000_000, 250_000, 2_000, 2_000)
PLACE_LIMITS: Final = Limits(100_000_000, 250_000_000, 3_000_000, 100_000, 2_000)


@dataclass(frozen=True)
class RawShape:
    """A shape as the file has it: a flat shapely geometry in the file's own numbers. `closable` marks a
    recorded path, whose ends may be joined.
    """

    name: str
    shape: shapely.Geometry
    properties: Properties
    closable: bool = False


@dataclass(frozen=True)
class Layer:
    """Shapes that share a coordinate system: `crs` as the file states it, None if it does not."""

    format: str
    crs: str | None
    shapes: list[RawShape]


@dataclass
class Tally:
    """What has been read so far, held against the limits, and the notes made on the way."""

    limits: Limits
    points: int = 0
    shapes: int = 0
    notes: list[str] = field(default_factory=list)
    counts: dict[str, int] = field(default_factory=dict)
    mended: int = 0

    def add_points(self, count: int) -> None:
        """Raises FileError past the limit, before anything is made of the points."""
        self.points += count
        if self.points > self.limits.points:
            raise FileError(
                _("The file has more than %(points)s points") % {"points": figure(f"{self.limits.points:,}")},
                value=self.points,
                remedy=_("keep only the fields you need, or simplify them to a point every metre or two"),
            )

    def add_shape(self) -> int:
        """The number of the shape just met, from 1. Raises FileError past the limit."""
        self.shapes += 1
        if self.shapes > self.limits.shapes:
            raise FileError(
                _("The file has more than %(shapes)s shapes") % {"shapes": figure(f"{self.limits.shapes:,}")},
                value=self.shapes,
                remedy=_("keep only those near your ground"),
            )
        return self.shapes

    def note(self, sentence: str) -> None:
        """Keeps a sentence once."""
        if sentence not in self.notes:
            self.notes.append(sentence)

    def count(self, what: str, number: int = 1) -> None:
        """Counts something left out, by its key in geo/files/left_out.py, to be said at the end."""
        self.counts[what] = self.counts.get(what, 0) + number

    def left_out(self) -> list[str]:
        """A sentence for each thing that was counted."""
        said = [left_out(what, n) for what, n in self.counts.items() if n]
        mended = say_many(
            "%(count)s outline crossed or touched itself and was mended.",
            "%(count)s outlines crossed or touched themselves and were mended.",
            self.mended,
        ) % {"count": figure(f"{self.mended:,}")}
        return [*said, mended] if self.mended else said


def clean_properties(given: dict[str, Any]) -> Properties:
    """Plain attributes of bounded number and length; anything nested is kept as text."""
    kept: Properties = {}
    for key, value in list(given.items())[:MAX_PROPERTIES]:
        if isinstance(value, float) and value != value:
            value = None
        if value is None or isinstance(value, (bool, int, float)):
            kept[shown(str(key))] = value
        else:
            kept[shown(str(key))] = str(value)[:MAX_TEXT].strip().replace("\x00", "")
    return kept


def name_from(properties: Properties, number: int, name_field: str | None = None) -> str:
    """The attribute that reads like a name, else "Shape 3". `name_field` says which attribute it is."""
    lower = {key.lower(): value for key, value in properties.items()}
    wanted = (name_field.lower(),) if name_field else _NAME_KEYS
    for key in wanted:
        if str(lower.get(key) or "").strip():
            return shown(str(lower[key]), 120)
    if not name_field:
        for key, value in lower.items():
            if key.endswith("name") and str(value or "").strip():
                return shown(str(value), 120)
    return _("Shape %(number)s") % {"number": number}
