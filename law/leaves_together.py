"""Conditions that look at the others of the same find, or at another rule of the pack."""

from __future__ import annotations

from dataclasses import dataclass

from law.context import Context, answer_for, certain, company, count_range
from law.leaves import Leaf, pick
from law.nodes import Node, Said
from law.tri import Tri


@dataclass(frozen=True, slots=True, eq=False)
class CountInFind(Leaf):
    """This object is one of at least `least` in the same find that meet `of`."""

    least: int
    of: Node
    of_words: str

    def value(self, ctx: Context) -> Tri:
        own = answer_for(ctx, ctx.index, self.of)
        if own is Tri.NO:
            return own
        low, high = count_range(ctx, self.of)
        enough = Tri.YES if low >= self.least else Tri.NO if high < self.least else Tri.UNKNOWN
        return own & enough

    def is_shut(self, ctx: Context) -> bool:
        return answer_for(ctx, ctx.index, self.of) is Tri.NO

    def reached(self, ctx: Context) -> bool | None:
        return certain(ctx, self.of) >= self.least

    def words(self, value: Tri) -> str:
        line = f"one of at least {self.least} {self.of_words} in the same find"
        return pick(value, f"It is {line}.", f"It is not {line}.", f"It may be {line}.")

    def facts(self) -> tuple[str, ...]:
        return ("others_nearby", "same_find", "count")

    def points(self, ctx: Context, value: Tri) -> list[Said]:
        found, own = Leaf.points(self, ctx, value), answer_for(ctx, ctx.index, self.of)
        return found if own is Tri.YES else found + self.of.points(ctx, own)


@dataclass(frozen=True, slots=True, eq=False)
class Associated(Leaf):
    """Another object of the same find meets one of `rules`, found at the same time or earlier.

    One found later can only make the answer unknown. `recorded` leaves out neighbours that no record shows.
    """

    rules: tuple[str, ...]
    recorded: bool = False

    def value(self, ctx: Context) -> Tri:
        found = company(ctx, self, self.rules)
        return found if self.recorded or not ctx.others_possible() else found | Tri.UNKNOWN

    def is_open(self, ctx: Context) -> bool:
        unrecorded = not self.recorded and ctx.others_possible()
        return unrecorded or company(ctx, self, self.rules) is not Tri.NO

    def is_shut(self, ctx: Context) -> bool:
        return False

    def reached(self, ctx: Context) -> bool | None:
        return None

    def words(self, value: Tri) -> str:
        line = "found with, or after, an object that meets a test"
        return pick(value, f"It was {line}.", f"It was not {line}.", f"It may have been {line}.")

    def facts(self) -> tuple[str, ...]:
        return ("others_nearby", "same_find")


@dataclass(frozen=True, slots=True, eq=False)
class Met(Leaf):
    """At least one of these rules is met for certain; anything less is no."""

    rules: tuple[str, ...]

    def value(self, ctx: Context) -> Tri:
        for rule in self.rules:
            if ctx.rule(rule) is Tri.YES:
                return Tri.YES
        return Tri.NO

    def is_shut(self, ctx: Context) -> bool:
        return False

    def reached(self, ctx: Context) -> bool | None:
        return None

    def words(self, value: Tri) -> str:
        return "Another rule covers it." if value is Tri.YES else "No other rule is met for certain."

    def facts(self) -> tuple[str, ...]:
        return ()


def company_in(node: Node) -> tuple[CountInFind | Associated | Met, ...]:
    """The parts of a condition that ask about the others of the same find, or about another rule."""
    if isinstance(node, CountInFind | Associated | Met):
        return (node,)
    parts = getattr(node, "parts", None) or (getattr(node, "part", None),)
    return tuple(leaf for part in parts if part is not None for leaf in company_in(part))
