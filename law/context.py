"""What a condition is asked about: one record, the others of its same find, and the pack that asks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from law.derive import found_day, resolve
from law.facts import FindFacts
from law.tri import Tri

if TYPE_CHECKING:
    from law.model import Exclusion, Pack
    from law.nodes import Node

NO_LIMIT = 10**9


@dataclass(slots=True)
class Record:
    """One record of the same find with what follows from its facts."""

    facts: FindFacts
    said: dict[str, Tri]
    found: date | None


@dataclass(slots=True)
class SameFind:
    """All records of one same find; answers are kept, so that a hoard of hundreds stays quick."""

    records: list[Record]
    answers: dict[tuple[int, int], Tri] = field(default_factory=dict)
    totals: dict[tuple[int, date | None], tuple[int, int]] = field(default_factory=dict)
    rules: dict[tuple[str, int, date | None], Tri] = field(default_factory=dict)
    exclusions: dict[tuple[str, int], Tri] = field(default_factory=dict)
    parts: dict[date, tuple[SameFind, dict[int, int]]] = field(default_factory=dict)
    all_days: list[date] | None = None

    def days(self) -> list[date]:
        """The days on which its records were found, in order, as far as they are known."""
        if self.all_days is None:
            self.all_days = sorted({record.found for record in self.records if record.found})
        return self.all_days

    def known_by(self, day: date) -> tuple[SameFind, dict[int, int]]:
        """What of it was found by that day, or may have been, and where each of its records now stands."""
        if day not in self.parts:
            there = [
                i for i, record in enumerate(self.records) if record.found is None or record.found <= day
            ]
            places = {old: new for new, old in enumerate(there)}
            whole = len(there) == len(self.records)
            self.parts[day] = (self if whole else SameFind([self.records[i] for i in there]), places)
        return self.parts[day]


@dataclass(slots=True)
class Context:
    """One record as a condition sees it.

    `as_of` is the day on which others must have been found to count for certain: a coin is judged by what was
    found with it or before it, and an object found later can only make the answer unknown.
    """

    pack: Pack
    group: SameFind
    index: int
    as_of: date | None
    facts: FindFacts = field(init=False)
    said: dict[str, Tri] = field(init=False)
    found: date | None = field(init=False)

    def __post_init__(self) -> None:
        record = self.group.records[self.index]
        self.facts, self.said, self.found = record.facts, record.said, record.found

    def beside(self, index: int) -> Context:
        """The same question put to another record of the same find."""
        return Context(self.pack, self.group, index, self.as_of)

    def known_by(self, day: date) -> Context:
        """The same question about the same record, asked with only what was found by that day."""
        part, places = self.group.known_by(day)
        return Context(self.pack, part, places[self.index], self.as_of)

    def days_from_found(self) -> list[date]:
        """The day of this find and the days on which others of it were found later, in order."""
        found = self.found
        return [] if found is None else [day for day in self.group.days() if day >= found]

    def link(self, index: int) -> Tri:
        """Were this record and the other left together?"""
        return self.said["same_find"] & self.group.records[index].said["same_find"]

    def others_possible(self) -> bool:
        """May there be objects of the same find that no record shows?"""
        return any(
            record.said["others_nearby"] is not Tri.NO
            for index, record in enumerate(self.group.records)
            if index == self.index or self.link(index) is not Tri.NO
        )

    def rule(self, rule_id: str) -> Tri:
        """Whether that rule of the pack is met for this record, worked out once."""
        rule = self.pack.rule(rule_id)
        # A test of the object alone is the same whenever the others were found: a hoard asks it once a record.
        key = (rule_id, self.index, self.as_of if rule.timed else None)
        if key not in self.group.rules:
            self.group.rules[key] = rule.value(self)
        return self.group.rules[key]

    def excluded(self, exclusion: Exclusion) -> Tri:
        """Whether that exclusion holds for this record, worked out once."""
        key = (exclusion.id, self.index)
        if key not in self.group.exclusions:
            self.group.exclusions[key] = exclusion.value(self)
        return self.group.exclusions[key]


def make_contexts(pack: Pack, find: Sequence[FindFacts]) -> list[Context]:
    """A context for each record of one same find; all share what was worked out."""
    group = SameFind([Record(facts, resolve(facts), found_day(facts, pack.tz)) for facts in find])
    return [Context(pack, group, index, record.found) for index, record in enumerate(group.records)]


def count_range(ctx: Context, node: Node) -> tuple[int, int]:
    """The least and the most objects of this record's same find that meet `node`, this record included.

    Objects in a record of several are one find only as far as `same_find` says so. Not recorded neighbours
    leave the most without limit.
    """
    linked = ctx.said["same_find"]
    least, most = _totals(ctx, node)
    if linked is Tri.NO:
        least = most = 1
    elif linked is Tri.UNKNOWN:
        least = 1
    return max(least, 1), NO_LIMIT if ctx.others_possible() else max(most, 1)


def _totals(ctx: Context, node: Node) -> tuple[int, int]:
    """Sums over the whole same find: those that count for certain, and those that may."""
    key = (id(node), ctx.as_of)
    if key not in ctx.group.totals:
        ctx.group.totals[key] = _sum(ctx, node)
    return ctx.group.totals[key]


def _sum(ctx: Context, node: Node) -> tuple[int, int]:
    least = most = 0
    for index, record in enumerate(ctx.group.records):
        answer = answer_for(ctx.beside(index), node) & record.said["same_find"]
        if answer is Tri.NO:
            continue
        most += record.facts.count or NO_LIMIT
        if answer is Tri.YES and not_later(record, ctx.as_of):
            least += record.facts.count or 1
    return least, most


def answer_for(ctx: Context, node: Node) -> Tri:
    """The node's answer for one record, worked out once per same find."""
    key = (id(node), ctx.index)
    if key not in ctx.group.answers:
        ctx.group.answers[key] = node.value(ctx)
    return ctx.group.answers[key]


def not_later(record: Record, day: date | None) -> bool:
    """Was it certainly found on that day or before?"""
    return day is not None and record.found is not None and record.found <= day
