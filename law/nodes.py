"""Conditions of a rule as small trees: each gives a three-valued answer and says what it rests on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

from law.context import Context
from law.tri import Tri, all_of, any_of


@dataclass(frozen=True, slots=True)
class Said:
    """One point that an answer rests on: its words, its value and the facts to ask for when it is unknown."""

    words: str
    value: Tri
    facts: tuple[str, ...]


class Node(Protocol):
    """A condition: `value` answers it, `points` gives what that answer rests on."""

    def value(self, ctx: Context) -> Tri: ...

    def points(self, ctx: Context) -> Iterator[Said]: ...


@dataclass(frozen=True, slots=True, eq=False)
class All:
    parts: tuple[Node, ...]

    def value(self, ctx: Context) -> Tri:
        return all_of(part.value(ctx) for part in self.parts)

    def points(self, ctx: Context) -> Iterator[Said]:
        failing = self.value(ctx) is Tri.NO
        for part in self.parts:
            if not failing or part.value(ctx) is Tri.NO:
                yield from part.points(ctx)


@dataclass(frozen=True, slots=True, eq=False)
class AnyOf:
    parts: tuple[Node, ...]

    def value(self, ctx: Context) -> Tri:
        return any_of(part.value(ctx) for part in self.parts)

    def points(self, ctx: Context) -> Iterator[Said]:
        value = self.value(ctx)
        for part in self.parts:
            if part.value(ctx) is value:
                yield from part.points(ctx)


@dataclass(frozen=True, slots=True, eq=False)
class Not:
    part: Node

    def value(self, ctx: Context) -> Tri:
        return ~self.part.value(ctx)

    def points(self, ctx: Context) -> Iterator[Said]:
        yield from self.part.points(ctx)
