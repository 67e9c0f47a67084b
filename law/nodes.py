"""Conditions of a rule as small trees: each gives a three-valued answer and says what it rests on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from law.context import Context
from law.tri import Tri


@dataclass(frozen=True, slots=True, eq=False)
class Said:
    """One point that an answer rests on: its words, its value and the facts to ask for when it is unknown."""

    words: str
    value: Tri
    facts: tuple[str, ...]


class Node(Protocol):
    """A condition: `value` answers it, `points` gives what that answer, which the caller has, rests on.

    `is_open` is its value being anything but a no, often with less work. `is_shut` is true only when the object
    alone makes it a no, whatever was found with it.
    """

    def value(self, ctx: Context) -> Tri: ...

    def points(self, ctx: Context, value: Tri) -> list[Said]: ...

    def is_open(self, ctx: Context) -> bool: ...

    def is_shut(self, ctx: Context) -> bool: ...


@dataclass(frozen=True, slots=True, eq=False)
class All:
    parts: tuple[Node, ...]

    def value(self, ctx: Context) -> Tri:
        # The Kleene “and”, spelled out: this loop is where screening spends its time.
        result = Tri.YES
        for part in self.parts:
            value = part.value(ctx)
            if value is Tri.NO:
                return value
            if value is Tri.UNKNOWN:
                result = value
        return result

    def is_open(self, ctx: Context) -> bool:
        return all(part.is_open(ctx) for part in self.parts)

    def is_shut(self, ctx: Context) -> bool:
        return any(part.is_shut(ctx) for part in self.parts)

    def points(self, ctx: Context, value: Tri) -> list[Said]:
        found: list[Said] = []
        for part in self.parts:
            own = part.value(ctx)
            if own is Tri.NO or value is not Tri.NO:
                found += part.points(ctx, own)
        return found


@dataclass(frozen=True, slots=True, eq=False)
class AnyOf:
    parts: tuple[Node, ...]

    def value(self, ctx: Context) -> Tri:
        result = Tri.NO
        for part in self.parts:
            value = part.value(ctx)
            if value is Tri.YES:
                return value
            if value is Tri.UNKNOWN:
                result = value
        return result

    def is_open(self, ctx: Context) -> bool:
        return any(part.is_open(ctx) for part in self.parts)

    def is_shut(self, ctx: Context) -> bool:
        return all(part.is_shut(ctx) for part in self.parts)

    def points(self, ctx: Context, value: Tri) -> list[Said]:
        return [said for part in self.parts if part.value(ctx) is value for said in part.points(ctx, value)]


@dataclass(frozen=True, slots=True, eq=False)
class Not:
    part: Node

    def value(self, ctx: Context) -> Tri:
        return ~self.part.value(ctx)

    def is_open(self, ctx: Context) -> bool:
        return self.part.value(ctx) is not Tri.YES

    def is_shut(self, ctx: Context) -> bool:
        return False  # a part that is open to company may become a no, and this a yes

    def points(self, ctx: Context, value: Tri) -> list[Said]:
        return self.part.points(ctx, ~value)
