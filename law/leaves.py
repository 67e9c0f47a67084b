"""Conditions without parts: one fact, an age, a share of metal, a count or company in the same find."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from law import ages
from law.context import Context
from law.derive import precious_at_least
from law.nodes import Node, Said
from law.tri import Tri
from law.words import said_words


class Leaf:
    """A condition without parts: its words and facts are its own."""

    __slots__ = ()

    def value(self, ctx: Context) -> Tri:
        raise NotImplementedError

    def words(self, value: Tri) -> str:
        raise NotImplementedError

    def facts(self) -> tuple[str, ...]:
        raise NotImplementedError

    def points(self, ctx: Context, value: Tri) -> list[Said]:
        # The plain text of the value: hashing and unwrapping the enum would take longer than the look-up.
        return [_said(self, value._value_)]

    def is_open(self, ctx: Context) -> bool:
        return self.value(ctx) is not Tri.NO

    def is_shut(self, ctx: Context) -> bool:
        return self.value(ctx) is Tri.NO


@lru_cache(maxsize=4096)
def _said(leaf: Leaf, value: str) -> Said:
    return Said(leaf.words(Tri(value)), Tri(value), leaf.facts())


@dataclass(frozen=True, slots=True, eq=False)
class Fact(Leaf):
    name: str

    def value(self, ctx: Context) -> Tri:
        return ctx.said[self.name]

    def words(self, value: Tri) -> str:
        return said_words(self.name, value)

    def facts(self) -> tuple[str, ...]:
        return (self.name,)


@dataclass(frozen=True, slots=True, eq=False)
class Age(Leaf):
    """At least (or, when `strict`, more than) so many years old when found."""

    years: int
    pad: int = 0
    strict: bool = False
    vessel: bool = False

    def value(self, ctx: Context) -> Tri:
        span = ctx.record.span(vessel=self.vessel)
        reached = ages.more_than_years if self.strict else ages.at_least_years
        return reached(span, self.years, ctx.found, pad=self.pad)

    def words(self, value: Tri) -> str:
        line = f"{'more than' if self.strict else 'at least'} {self.years} years"
        if self.vessel:
            return pick(
                value, f"The ship was lost {line} before.", f"The ship was not lost {line} before.",
                f"The ship may have been lost {line} before.",
            )  # fmt: skip
        return pick(
            value, f"It was {line} old when found.", f"It was not {line} old when found.",
            f"It may have been {line} old when found.",
        )  # fmt: skip

    def facts(self) -> tuple[str, ...]:
        return ("vessel_lost_from",) if self.vessel else ("made_from",)


@dataclass(frozen=True, slots=True, eq=False)
class UpToYear(Leaf):
    """Made (or, for a vessel, lost) in or before a year."""

    year: int
    vessel: bool = False

    def value(self, ctx: Context) -> Tri:
        span = ctx.record.span(vessel=self.vessel)
        return ages.up_to_year(span, self.year)

    def words(self, value: Tri) -> str:
        what, verb = ("The ship", "lost") if self.vessel else ("It", "made")
        return pick(
            value, f"{what} was {verb} in {self.year} or before.", f"{what} was {verb} after {self.year}.",
            f"{what} may have been {verb} in {self.year} or before.",
        )  # fmt: skip

    def facts(self) -> tuple[str, ...]:
        return ("vessel_lost_from",) if self.vessel else ("made_from",)


@dataclass(frozen=True, slots=True, eq=False)
class Precious(Leaf):
    """At least that percentage of the metal, by weight, is gold or silver."""

    percent: float

    def value(self, ctx: Context) -> Tri:
        return precious_at_least(ctx.facts, ctx.said["precious"], self.percent)

    def words(self, value: Tri) -> str:
        line = f"{self.percent:g}% of its metal by weight"
        return pick(
            value, f"At least {line} is gold or silver.", f"Less than {line} is gold or silver.",
            f"At least {line} may be gold or silver; only a bulk assay can settle it.",
        )  # fmt: skip

    def facts(self) -> tuple[str, ...]:
        return ("gold", "silver", "precious_pct_low")


@dataclass(frozen=True, slots=True, eq=False)
class Possible(Leaf):
    """The part is yes or unknown."""

    part: Node

    def value(self, ctx: Context) -> Tri:
        return Tri.NO if self.part.value(ctx) is Tri.NO else Tri.YES

    def is_shut(self, ctx: Context) -> bool:
        return self.part.is_shut(ctx)

    def words(self, value: Tri) -> str:
        return ""

    def facts(self) -> tuple[str, ...]:
        return ()


@dataclass(frozen=True, slots=True, eq=False)
class Depth(Leaf):
    """Deeper than that many centimetres below the surface of the land; exactly that deep is not deeper."""

    cm: float

    def value(self, ctx: Context) -> Tri:
        depth = ctx.facts.depth_cm
        if depth is None:
            return Tri.UNKNOWN
        return Tri.YES if depth > self.cm else Tri.NO

    def words(self, value: Tri) -> str:
        line = f"deeper than {self.cm:g} cm"
        return pick(value, f"It was {line}.", f"It was not {line}.", f"It may have been {line}.")

    def facts(self) -> tuple[str, ...]:
        return ("depth_cm",)


@dataclass(frozen=True, slots=True, eq=False)
class Land(Leaf):
    """The ground is held by one of these."""

    statuses: tuple[str, ...]

    def value(self, ctx: Context) -> Tri:
        if ctx.facts.land_status == "unknown":
            return Tri.UNKNOWN
        return Tri.YES if ctx.facts.land_status in self.statuses else Tri.NO

    def words(self, value: Tri) -> str:
        names = " or ".join(status.replace("_", " ") for status in self.statuses)
        return pick(value, f"The land is {names}.", f"The land is not {names}.", f"The land may be {names}.")

    def facts(self) -> tuple[str, ...]:
        return ("land_status",)


@dataclass(frozen=True, slots=True, eq=False)
class Within(Leaf):
    """The day of the find lies between two days, both counted; an open end is None."""

    first: date | None
    last: date | None

    def value(self, ctx: Context) -> Tri:
        if self.first is None and self.last is None:
            return Tri.YES
        if ctx.found is None:
            return Tri.UNKNOWN
        early = self.first is not None and ctx.found < self.first
        late = self.last is not None and ctx.found > self.last
        return Tri.NO if early or late else Tri.YES

    def words(self, value: Tri) -> str:
        return pick(
            value, "The rule was in force on the day of the find.",
            "The rule was not in force on the day of the find.",
            "It is not known whether the rule was in force on the day of the find.",
        )  # fmt: skip

    def facts(self) -> tuple[str, ...]:
        return ("found_on",)


def pick(value: Tri, yes: str, no: str, unknown: str) -> str:
    return {Tri.YES: yes, Tri.NO: no, Tri.UNKNOWN: unknown}[value]
