"""What a screening says, as plain frozen values that turn to and from dictionaries."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from law.clock import Due


class Outcome(StrEnum):
    """What may be owed. “No duty found” is said only when every rule is a definite no."""

    NO_DUTY_FOUND = "no_duty_found"
    POSSIBLE_DUTY = "possible_duty"
    DUTY = "duty"


class Strength(StrEnum):
    """Met on the facts given, or possible because a fact is missing or an expert must judge."""

    DUTY = "duty"
    POSSIBLE = "possible"


class Weight(StrEnum):
    """A test that is or could be met on what was said (open a case), or one open only to judgement (ask)."""

    TEST = "test"
    JUDGEMENT = "judgement"


@dataclass(frozen=True, slots=True)
class DutyFound:
    """One duty that is or may be owed. `checked` says in words how the rule was checked."""

    rule: str
    clause: str
    title: str
    kind: str
    strength: Strength
    weight: Weight
    why: tuple[str, ...]
    still_unknown: tuple[str, ...]
    duty: str
    authority: str
    authority_how: str
    due: Due
    consequence: str
    cautions: tuple[str, ...]
    source: str
    checked: str
    firm: bool
    pack: str = ""
    facts: tuple[str, ...] = ()  # the facts that the answer rests on, and those still to be asked


@dataclass(frozen=True, slots=True)
class RuledOut:
    """A rule that is a definite no, with the reason."""

    rule: str
    clause: str
    title: str
    why: tuple[str, ...]
    pack: str = ""
    facts: tuple[str, ...] = ()
    source: str = ""
    checked: str = ""


@dataclass(frozen=True, slots=True)
class Unknown:
    """A fact nobody has given, the question that settles it, the rules it would settle, and its fields."""

    question: str
    fact: str
    would_change: tuple[str, ...]
    fields: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Excluded:
    """A ground on which rules do not apply; `certain` is false when it only may hold."""

    exclusion: str
    clause: str
    title: str
    certain: bool


@dataclass(frozen=True, slots=True)
class DrillShown:
    """What to do at once."""

    drill: str
    title: str
    steps: tuple[str, ...]
    certain: bool


@dataclass(frozen=True, slots=True)
class PackUsed:
    """A pack that judged: which, in which version and with which content (empty where none was kept)."""

    code: str
    version: str
    digest: str = ""
    title: str = ""
    law_as_at: str = ""
    checked_on: str = ""


@dataclass(frozen=True, slots=True)
class Screening:
    """The answer for one find on one day by one version of each pack that holds in its place.

    `pack_code` and `pack_version` are those of the place's own pack; `packs` names them all, its own first.
    """

    outcome: Outcome
    duties: tuple[DutyFound, ...]
    ruled_out: tuple[RuledOut, ...]
    unknowns: tuple[Unknown, ...]
    exclusions: tuple[Excluded, ...]
    cautions: tuple[str, ...]
    drills: tuple[DrillShown, ...]
    pack_code: str
    pack_version: str
    law_as_at: str
    facts_digest: str
    packs: tuple[PackUsed, ...] = ()

    @property
    def weight(self) -> Weight | None:
        """The heaviest weight of its duties; None when there is none."""
        if any(duty.weight is Weight.TEST for duty in self.duties):
            return Weight.TEST
        return Weight.JUDGEMENT if self.duties else None

    @property
    def first_due(self) -> Due | None:
        """The clock that runs out first among the tests; one without a day counts as the soonest."""
        clocks = [duty.due for duty in self.duties if duty.weight is Weight.TEST]
        return min(clocks, key=lambda due: str(due.last_day or ""), default=None)

    def to_dict(self) -> dict[str, Any]:
        """Plain values that JSON can hold."""
        return {name: _plain(getattr(self, name)) for name in self.__dataclass_fields__}

    @classmethod
    def from_dict(cls, stored: dict[str, Any]) -> Screening:
        """The same screening back from `to_dict`. Raises KeyError or TypeError when a part is missing."""
        own = stored["pack_code"]
        many: dict[str, Callable[[Any], Any]] = {
            "duties": lambda raw: _duty({"pack": own} | raw),
            "ruled_out": lambda raw: RuledOut(**_tuples({"pack": own} | raw)),
            "packs": lambda raw: PackUsed(**raw),
            "unknowns": lambda raw: Unknown(**_tuples(raw)),
            "exclusions": lambda raw: Excluded(**raw),
            "drills": lambda raw: DrillShown(**_tuples(raw)),
        }
        values = {**stored, "outcome": Outcome(stored["outcome"]), "cautions": tuple(stored["cautions"])}
        # What was kept before several packs could hold in one place names only its own.
        kept = {"packs": [{"code": own, "version": stored["pack_version"]}]} | stored
        for name, make in many.items():
            values[name] = tuple(make(raw) for raw in kept[name])
        return cls(**values)


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, Due):
        return value.to_dict()
    if isinstance(value, StrEnum):
        return value.value
    if hasattr(value, "__dataclass_fields__"):
        return {name: _plain(getattr(value, name)) for name in value.__dataclass_fields__}
    return value


def _tuples(raw: dict[str, Any]) -> dict[str, Any]:
    return {key: tuple(value) if isinstance(value, list) else value for key, value in raw.items()}


def _duty(raw: dict[str, Any]) -> DutyFound:
    values = _tuples(raw)
    values["strength"] = Strength(raw["strength"])
    values["weight"] = Weight(raw["weight"])
    values["due"] = Due.from_dict(raw["due"])
    return DutyFound(**values)
