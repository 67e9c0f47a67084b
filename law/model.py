"""What a law pack holds once read: rules, exclusions, search rules, authorities and drills."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from law.clock import Clock
from law.context import Context
from law.leaves import Within
from law.nodes import Node
from law.tri import Tri, all_of


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


@dataclass(frozen=True, slots=True)
class Exclusion:
    """A ground on which rules do not apply."""

    id: str
    clause: str
    title: str
    force: Within
    when: Node

    def value(self, ctx: Context) -> Tri:
        return self.force.value(ctx) & self.when.value(ctx)


@dataclass(frozen=True, slots=True)
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
    timed: bool = True  # its answer may hang on what was found with it, and before it or after

    @property
    def firm(self) -> bool:
        """May it be shown as a duty, or only as a possible one?"""
        return not self.judged and self.checked is not Checked.MEMORY

    def value(self, ctx: Context) -> Tri:
        """Is the duty owed on these facts? A rule that was not in force on the day is no."""
        result = self.force.value(ctx)
        if result is Tri.NO:
            return Tri.NO
        result = result & self.when.value(ctx)
        if result is Tri.NO:
            return Tri.NO
        return result & all_of(~ctx.excluded(exclusion) for exclusion in self.unless)


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


@dataclass(frozen=True, slots=True)
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
