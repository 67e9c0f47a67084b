"""What a condition is asked about: one record, the others of its same find, and the pack that asks."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from law.ages import Made, made, vessel_lost
from law.derive import found_day, resolve
from law.facts import FindFacts
from law.tri import Tri, any_of

if TYPE_CHECKING:
    from law.model import Exclusion, Pack, Rule
    from law.nodes import Node

NO_LIMIT = 10**9
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
    record: Record = field(init=False)
    facts: FindFacts = field(init=False)
    said: dict[str, Tri] = field(init=False)
    found: date | None = field(init=False)

    def __post_init__(self) -> None:
        self.record = record = self.group.records[self.index]
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
        if found is None:
            return []
        days = self.group.days()
        return days[bisect_left(days, found) :]

    def others_possible(self) -> bool:
        """May there be objects of the same find that no record shows?"""
        if self.said["others_nearby"] is not Tri.NO:
            return True
        # Two records were left together as far as both say so; this one adds no neighbours of its own.
        return self.said["same_find"] is not Tri.NO and self.group.has_neighbours()

    def rule(self, rule_id: str) -> Tri:
        """Whether that rule of the pack is met for this record, worked out once."""
        value = self.record.rules.get(rule_id)
        if value is not None:
            return value
        rule = self.pack.by_id[rule_id]
        if rule_id not in self.record.waiting:
            # A test of the object alone is the same whatever was found with it: a hoard asks it once a record.
            if not rule.company or rule.is_shut(self):
                value = self.record.rules[rule_id] = Tri.NO if rule.company else rule.value(self)
                return value
            self.record.waiting.add(rule_id)
        key = (rule_id, self.index, self.stage(rule))
        value = self.group.rules.get(key)
        if value is None:
            value = self.group.rules[key] = rule.value(self)
        return value

    def stage(self, rule: Rule) -> Stage:
        """All that the day `as_of` means to a rule: the day itself, or which of its numbers were reached by then."""
        key = (rule.id, self.as_of)
        stage = self.group.stages.get(key)
        if stage is None:
            reached = tuple(reached for leaf in rule.company if (reached := leaf.reached(self)) is not None)
            stage = reached if len(reached) == len(rule.company) else self.as_of
            self.group.stages[key] = stage
        return stage

    def excluded(self, exclusion: Exclusion) -> Tri:
        """Whether that exclusion holds for this record, worked out once: it asks about that object alone."""
        value = self.record.exclusions.get(exclusion.id)
        if value is None:
            value = self.record.exclusions[exclusion.id] = exclusion.value(self)
        return value


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
    least = 1 if linked is not Tri.YES else max(certain(ctx, node), 1)
    if ctx.others_possible():
        return least, NO_LIMIT
    return least, 1 if linked is Tri.NO else max(_most(ctx, node), 1)


def certain(ctx: Context, node: Node) -> int:
    """How many of the whole same find count for certain, by the day as of which it is asked."""
    group, key = ctx.group, (id(node), ctx.as_of)
    if key not in group.least:
        group.least[key] = sum(
            record.facts.count or 1
            for index, record in enumerate(group.records)
            if record.said["same_find"] is Tri.YES
            and not_later(record, ctx.as_of)
            and answer_for(ctx, index, node) is Tri.YES
        )
    return group.least[key]


def _most(ctx: Context, node: Node) -> int:
    """How many of the whole same find may count; this hangs on no day."""
    group, key = ctx.group, id(node)
    if key not in group.most:
        group.most[key] = sum(
            record.facts.count or NO_LIMIT
            for index, record in enumerate(group.records)
            if record.said["same_find"] is not Tri.NO and answer_for(ctx, index, node) is not Tri.NO
        )
    return group.most[key]


def answer_for(ctx: Context, index: int, node: Node) -> Tri:
    """The answer of a counted node for one record, worked out once: it asks about that object alone."""
    kept = ctx.group.records[index].answers
    value = kept.get(id(node))
    if value is None:
        value = kept[id(node)] = node.value(ctx if index == ctx.index else ctx.beside(index))
    return value


def company(ctx: Context, node: Node, rules: tuple[str, ...]) -> Tri:
    """Does another record, left with this one and found by then, meet one of the rules? Later ones leave it open.

    What each record brings is worked out once for all; each takes itself out again.
    """
    group, key = ctx.group, (id(node), ctx.as_of)
    linked = ctx.said["same_find"]
    if linked is Tri.NO or len(group.records) == 1:
        return Tri.NO
    if key not in group.company:
        group.company[key] = _meets(ctx, rules)
    return group.company[key].without(ctx.index, ctx.record, ctx.as_of) & linked


def _meets(ctx: Context, rules: tuple[str, ...]) -> Company:
    """Whether each record meets one of the rules and was left with the others, whenever it was found."""
    group = ctx.group
    key = (rules, tuple(ctx.stage(ctx.pack.by_id[rule]) for rule in rules))
    if key not in group.meets:
        brought = [_met(ctx.beside(index), rules) for index in range(len(group.records))]
        group.meets[key] = Company(brought, group.records)
    return group.meets[key]


def _met(ctx: Context, rules: tuple[str, ...]) -> Tri:
    linked = ctx.said["same_find"]
    return linked if linked is Tri.NO else linked & any_of(ctx.rule(rule) for rule in rules)


def not_later(record: Record, day: date | None) -> bool:
    """Was it certainly found on that day or before?"""
    return day is not None and record.found is not None and record.found <= day
