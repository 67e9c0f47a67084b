"""What a law pack holds once read: rules, exclusions, search rules, authorities and drills."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from law.clock import Clock
from law.context import Context
from law.leaves import Within
from law.leaves_together import Associated, CountInFind, Met
from law.nodes import Node
from law.tri import Tri


class Kind(StrEnum):
    """What sort of thing a rule asks for."""

    REPORT = "report"
    HAND_OVER = "hand_over"
    OFFER = "offer"
    CONSENT = "consent"  # an official consent is needed for what was done, or for lifting it
    STOP = "stop"  # stop, leave it, call
    LOST = "lost"  # lost property, with its own law
    REFER = "refer"  # only the authority can say


class Checked(StrEnum):
    """How a rule was checked: against the law's text, against official or other guidance, or not at all."""

    READ = "read"
    SECONDARY = "secondary"
    MEMORY = "memory"

    @property
    def label(self) -> str:
        return _CHECKED_LABELS[self.value]


_CHECKED_LABELS = {
    "read": "read in the text of the law",
    "secondary": "read in guidance, not in the law itself",
    "memory": "unchecked: from memory, ask the authority",
}


class Effect(StrEnum):
    """What a search rule does to a plan."""

    SHUT = "shut"
    ASK = "ask"


@dataclass(frozen=True, slots=True)
class Authority:
    """Whom to tell, and how."""

    id: str
    name: str
    how: str


@dataclass(frozen=True, slots=True, eq=False)
class Exclusion:
    """A ground on which rules do not apply."""

    id: str
    clause: str
    title: str
    force: Within
    when: Node

    def value(self, ctx: Context) -> Tri:
        in_force = self.force.value(ctx)
        return in_force if in_force is Tri.NO else in_force & self.when.value(ctx)


@dataclass(frozen=True, slots=True, eq=False)
class Rule:
    """One duty: when it arises, by which clause, towards whom and by when.

    `judged` marks a test that only experts can answer, which never gives more than a possible duty. `hint`
    tells an answer that rests on something said from one that is open only because nobody has answered.
    """

    id: str
    clause: str
    title: str
    kind: Kind
    force: Within
    when: Node
    unless: tuple[Exclusion, ...]
    duty: str
    clock: Clock
    authority: Authority
    consequence: str
    cautions: tuple[str, ...]
    source: str
    checked: Checked
    checked_on: date
    series: str = ""
    judged: bool = False
    hint: Node | None = None
    drill: str = ""
    # The parts that hang on what was found with it, and before it or after; none in a test of the object alone.
    company: tuple[CountInFind | Associated | Met, ...] = ()

    @property
    def firm(self) -> bool:
        """May it be shown as a duty, or only as a possible one?"""
        return not self.judged and self.checked is not Checked.MEMORY

    def is_open(self, ctx: Context) -> bool:
        """Is the answer anything but a no? Worked out with the least that settles it."""
        return (
            self.force.value(ctx) is not Tri.NO
            and self.when.is_open(ctx)
            and not any(ctx.excluded(exclusion) is Tri.YES for exclusion in self.unless)
        )

    def is_shut(self, ctx: Context) -> bool:
        """Does the object alone make it a no, whatever was found with it?"""
        return (
            self.force.value(ctx) is Tri.NO
            or self.when.is_shut(ctx)
            or any(ctx.excluded(exclusion) is Tri.YES for exclusion in self.unless)
        )

    def value(self, ctx: Context) -> Tri:
        """Is the duty owed on these facts? A rule that was not in force on the day is no."""
        # The Kleene “and” of all three, spelled out as in nodes.All.
        result = self.force.value(ctx)
        if result is Tri.NO:
            return result
        when = self.when.value(ctx)
        if when is not Tri.YES:
            if when is Tri.NO:
                return when
            result = when
        for exclusion in self.unless:
            excluded = ctx.excluded(exclusion)
            if excluded is not Tri.NO:
                if excluded is Tri.YES:
                    return Tri.NO
                result = excluded
        return result


@dataclass(frozen=True, slots=True)
class SearchRule:
    """A limit on searching itself. `lifted_by` names the licence that opens it, or is empty.

    It bites when `when` holds and, where given, when the planned depth goes beyond `depth_over_cm` or the
    place is no further than `distance_at_most_m` from the protected thing.
    """

    id: str
    clause: str
    words: str
    effect: Effect
    force: Within
    when: Node
    lifted_by: str
    lifted_words: str
    depth_over_cm: float | None
    distance_at_most_m: float | None
    checked: Checked
    checked_on: date
    source: str


@dataclass(frozen=True, slots=True)
class Drill:
    """What to do at once, in order."""

    id: str
    title: str
    steps: tuple[str, ...]
    checked: Checked


@dataclass(frozen=True, slots=True, eq=False)
class Pack:
    """The law of one place as this program knows it, with the day on which it was checked."""

    code: str
    title: str
    version: str
    checked_on: date
    law_as_at: str
    tz: str
    caution: str
    notes: tuple[str, ...]
    also: tuple[str, ...]  # packs whose law holds in the same place and is run beside this one
    digest: str  # SHA-256 of what the pack and its parts say; layout and comments do not count
    rules: tuple[Rule, ...]
    exclusions: tuple[Exclusion, ...]
    search_rules: tuple[SearchRule, ...]
    authorities: Mapping[str, Authority]
    drills: Mapping[str, Drill]
    by_id: Mapping[str, Rule]

    def rule(self, rule_id: str) -> Rule:
        return self.by_id[rule_id]
