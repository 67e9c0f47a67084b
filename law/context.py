"""What a condition is asked about: one record, the others of its same find, and the pack that asks."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from law.derive import found_day, resolve
from law.facts import FindFacts
from law.tri import Tri, any_of

if TYPE_CHECKING:
    from law.model import Exclusion, Pack, Rule
    from law.nodes import Node
from law.records import Company, Record, SameFind, Stage, not_later

NO_LIMIT = 10**9


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
