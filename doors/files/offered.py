"""What may be taken as a file: the open collections and tracks, all of it or of one hunt or one site."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from doors.collections import COLLECTIONS, Collection
from doors.feature import Feature, Property, Query
from doors.files.model import Column, Layer
from doors.files.tracks import PROPERTIES, TrackRows
from people.models import Club, User

TRACKS = Collection(
    "tracks",
    _lazy("Tracks"),
    _lazy("Lines walked: one's own, those of hunts one leads, or all where nothing is locked, by role."),
    PROPERTIES,
    TrackRows(),
)
OFFERED: dict[str, Collection] = {**COLLECTIONS, "tracks": TRACKS}
OF_HUNT = {"hunts": "code", "holes": "hunt", "finds": "hunt", "tracks": "hunt"}
OF_SITE = {"sites": "code", "holes": "site", "finds": "site", "ground-covered": "site"}
ROWS_A_SECOND = {"ground-covered": 3, "tracks": 100}  # docs/open-files.md has the figures
USUALLY_A_SECOND = 1000
LONG_S = 1


@dataclass(frozen=True)
class Choice:
    """One thing on offer to one reader. `seconds` is how long a file of all of it takes, where that is long."""

    collection: Collection
    rows: int
    seconds: int | None


def choices_for(user: User) -> list[Choice]:
    """Every collection with how many rows it holds for `user`: one count each."""
    return [_choice(each, each.rows.visible_to(user).count()) for each in OFFERED.values()]


def _choice(collection: Collection, rows: int) -> Choice:
    seconds = rows / ROWS_A_SECOND.get(collection.id, USUALLY_A_SECOND)
    return Choice(collection, rows, round(seconds) if seconds > LONG_S else None)


def records_of(what: str, user: User, equals: Mapping[str, Any], *, at: datetime) -> Iterator[Feature]:
    """The features as `user` may have them, page by page."""
    return OFFERED[what].every(user, Query(equals=equals), at=at)


def layer_of(what: str, user: User, about: str, *, at: datetime) -> Layer:
    """The layer's words. `about` names the hunt or site that it is of; empty for everything."""
    collection = OFFERED[what]
    club = Club.objects.filter(pk=1).first()
    return Layer(
        name=what.replace("-", "_"),
        title=f"{collection.title}: {about}" if about else str(collection.title),
        columns=columns_of(collection.properties),
        club=club.name if club else _("Club"),
        reader=f"{user.name} ({', '.join(sorted(user.roles))})",
        at=at,
        description=str(collection.description),
    )


def columns_of(properties: Mapping[str, Property]) -> list[Column]:
    """The columns but for the precision, which every format puts last by itself."""
    return [
        Column(name, str(each.title), each.type, each.format, str(each.description), each.unit)
        for name, each in properties.items()
        if name != "precision"
    ]


KINDS: dict[tuple[str, str], Any] = {
    ("string", ""): _lazy("text"),
    ("string", "date"): _lazy("day"),
    ("string", "date-time"): _lazy("moment"),
    ("integer", ""): _lazy("whole number"),
    ("number", ""): _lazy("number"),
    ("boolean", ""): _lazy("yes or no"),
}


def dictionary() -> list[tuple[Collection, list[tuple[str, Property, Any]]]]:
    """Each collection with its columns: name, meaning, kind of value."""
    return [
        (
            each,
            [(name, column, KINDS[column.type, column.format]) for name, column in each.properties.items()],
        )
        for each in OFFERED.values()
    ]
