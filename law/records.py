"""The records of one same find, and what each brings to the others."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from law.ages import Made, made, vessel_lost
from law.facts import FindFacts
from law.tri import Tri

if TYPE_CHECKING:
    pass

Stage = tuple[bool, ...] | date | None


@dataclass(slots=True)
class Record:
    """One record of the same find with what follows from its facts alone, each worked out once."""

    facts: FindFacts
    said: dict[str, Tri]
    found: date | None
    answers: dict[int, Tri] = field(default_factory=dict)  # by the identity of a node that is counted
    rules: dict[str, Tri] = field(default_factory=dict)  # where the object alone settles them
    waiting: set[str] = field(default_factory=set)  # rules that hang on what was found with it
    exclusions: dict[str, Tri] = field(default_factory=dict)
    spans: dict[bool, Made] = field(default_factory=dict)

    def span(self, *, vessel: bool) -> Made:
        """When it was made, or when the ship that it came from was lost."""
        if vessel not in self.spans:
            self.spans[vessel] = vessel_lost(self.facts) if vessel else made(self.facts)
        return self.spans[vessel]


class Company:
    """What each record of a same find brings to the others, and how many bring a yes by a day or leave it open.

    One found later, or on no known day, brings “not known” where it would bring a yes.
    """

    __slots__ = ("brought", "days", "open", "yes")

    def __init__(self, brought: list[Tri], records: Sequence[Record]) -> None:
        self.brought = brought
        found = [record.found for record, each in zip(records, brought, strict=True) if each is Tri.YES]
        self.days = sorted(day for day in found if day is not None)
        self.yes = len(found)
        self.open = brought.count(Tri.UNKNOWN)

    def without(self, index: int, record: Record, day: date | None) -> Tri:
        """The Kleene “or” of what all but that record bring, for one asked as of `day`."""
        own = self.brought[index]
        by_then = bisect_right(self.days, day) if day is not None else 0
        own_yes = own is Tri.YES and not_later(record, day)
        if by_then > own_yes:
            return Tri.YES
        own_open = own is not Tri.NO and not own_yes
        return Tri.UNKNOWN if self.open + self.yes - by_then > own_open else Tri.NO


@dataclass(slots=True)
class SameFind:
    """All records of one same find; answers are kept, so that a hoard of hundreds stays quick."""

    records: list[Record]
    most: dict[int, int] = field(default_factory=dict)
    least: dict[tuple[int, date | None], int] = field(default_factory=dict)
    company: dict[tuple[int, date | None], Company] = field(default_factory=dict)
    meets: dict[tuple[tuple[str, ...], tuple[Stage, ...]], Company] = field(default_factory=dict)
    rules: dict[tuple[str, int, Stage], Tri] = field(default_factory=dict)
    stages: dict[tuple[str, date | None], Stage] = field(default_factory=dict)
    parts: dict[date, tuple[SameFind, dict[int, int]]] = field(default_factory=dict)
    all_days: list[date] | None = None
    neighbours: bool | None = None

    def days(self) -> list[date]:
        """The days on which its records were found, in order, as far as they are known."""
        if self.all_days is None:
            self.all_days = sorted({record.found for record in self.records if record.found})
        return self.all_days

    def has_neighbours(self) -> bool:
        """May there be objects that no record shows, beside a record that may belong?"""
        if self.neighbours is None:
            self.neighbours = any(
                record.said["others_nearby"] is not Tri.NO and record.said["same_find"] is not Tri.NO
                for record in self.records
            )
        return self.neighbours

    def known_by(self, day: date) -> tuple[SameFind, dict[int, int]]:
        """What of it was found by that day, or may have been, and where each of its records now stands."""
        if day not in self.parts:
            there = [
                i for i, record in enumerate(self.records) if record.found is None or record.found <= day
            ]
            places = {old: new for new, old in enumerate(there)}
            whole = len(there) == len(self.records)
            # A part is only asked as of a day up to its own, so what counts for certain by then is the same in all.
            part = self if whole else SameFind([self.records[i] for i in there], least=self.least)
            self.parts[day] = (part, places)
        return self.parts[day]


def not_later(record: Record, day: date | None) -> bool:
    """Was it certainly found on that day or before?"""
    return day is not None and record.found is not None and record.found <= day
