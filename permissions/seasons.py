"""Closed periods that recur in the farming year, for the secretary to adapt. Pure.

Source: facts gathered for trade practice, sections 1.4 and 1.5: shooting seasons are the published ones for
Great Britain; nesting, lambing and spreading dates are common practice of the region named.
"""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Season:
    """First and last day as (month, day); an end before the start runs over new year."""

    key: str
    reason: str
    first: tuple[int, int]
    last: tuple[int, int]
    effect: str
    basis: str

    def days(self, year: int) -> tuple[date, date]:
        """The season that starts in `year`."""
        start = date(year, *self.first)
        return start, date(year + (self.last < self.first), *self.last)


SEASONS = (
    Season(
        "pheasant",
        "Pheasant shooting",
        (10, 1),
        (2, 1),
        "ask",
        "published season, England, Wales and Scotland",
    ),
    Season(
        "partridge",
        "Partridge shooting",
        (9, 1),
        (2, 1),
        "ask",
        "published season, England, Wales and Scotland",
    ),
    Season(
        "wildfowl",
        "Duck and goose shooting inland",
        (9, 1),
        (1, 31),
        "ask",
        "published season, England and Wales",
    ),
    Season("nesting", "Ground-nesting birds", (3, 1), (7, 31), "ask", "common practice, lowland England"),
    Season(
        "lambing",
        "Lambing",
        (1, 1),
        (4, 30),
        "shut",
        "common practice, lowland England; hill farms April to June",
    ),
    Season(
        "hay", "Grass shut up for hay or silage", (4, 1), (7, 31), "shut", "common practice, lowland England"
    ),
    Season(
        "cereals",
        "Cereals standing",
        (3, 1),
        (8, 31),
        "shut",
        "common practice, lowland England; Scotland 2 to 4 weeks later",
    ),
)


def season_of(key: str) -> Season | None:
    return next((season for season in SEASONS if season.key == key), None)
