"""What a writer is given: a layer with its columns, and records whose places the reader may have."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Protocol

import shapely
from django.utils.timezone import localtime
from django.utils.translation import gettext as _


class Record(Protocol):
    """One thing as this reader may have it. The geometry is WGS84 longitude and latitude, or None."""

    @property
    def id(self) -> str: ...
    @property
    def geometry(self) -> shapely.Geometry | None: ...
    @property
    def properties(self) -> Mapping[str, Any]: ...
    @property
    def precision(self) -> str: ...


@dataclass(frozen=True)
class Column:
    """A property: its name in files, its JSON Schema type and format, and what it means."""

    name: str
    title: str
    type: str = "string"
    format: str = ""
    description: str = ""
    unit: str = ""


@dataclass(frozen=True)
class Layer:
    """One collection for one reader: what every format says about itself."""

    name: str  # short, ASCII: it becomes file and layer names
    title: str
    columns: Sequence[Column]
    club: str
    reader: str
    at: datetime
    description: str = ""

    @property
    def file_stem(self) -> str:
        return f"{self.name}-{localtime(self.at):%Y-%m-%d-%H%M}"

    def facts(self) -> dict[str, str]:
        """What it is, for whom, when and how finely, under names that programs may rely on."""
        return {
            "title": self.title,
            "club": self.club,
            "madeFor": self.reader,
            "madeAt": localtime(self.at).isoformat(timespec="seconds"),
            "coordinates": _("WGS84, longitude and latitude in degrees"),
            "precision": precision_words(),
            "keepIt": _("to yourself: it was made for the person named here and nobody else."),
        }

    def about_text(self) -> str:
        """The same for people, a line each."""
        words = {
            "title": _("What"),
            "club": _("Club"),
            "madeFor": _("Made for"),
            "madeAt": _("Made at"),
            "coordinates": _("Coordinates"),
            "precision": _("Precision"),
            "keepIt": _("Keep it"),
        }
        return "\n".join(f"{words[name]}: {said}" for name, said in self.facts().items())


def precision_words() -> str:
    """The rule that all files share."""
    return _(
        "each place stands as finely as that person may see it, and every row says how finely in “precision”. "
        "Places of locked finds are in no file."
    )


@dataclass
class Tally:
    """Counts the records that go by, altogether and by precision."""

    rows: int = 0
    places: int = 0
    by_precision: Counter[str] = field(default_factory=Counter)

    def watch(self, records: Iterable[Record]) -> Iterator[Record]:
        for record in records:
            self.rows += 1
            self.places += record.geometry is not None
            self.by_precision[record.precision.partition(",")[0]] += 1
            yield record


def cell(value: Any) -> str | int | float | None:
    """A property's value for formats that know only text and numbers."""
    if value is None or (isinstance(value, str | int | float) and not isinstance(value, bool)):
        return value
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list | tuple):
        return "; ".join(str(each) for each in value)
    return value.isoformat() if hasattr(value, "isoformat") else str(value)
