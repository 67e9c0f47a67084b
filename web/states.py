"""A state machine as a table of allowed moves."""

from collections.abc import Mapping
from enum import StrEnum
from typing import TypeVar

S = TypeVar("S", bound=StrEnum)


class IllegalMoveError(Exception):
    """The record is not in a state from which this move is allowed."""

    def __init__(self, current: StrEnum, wanted: StrEnum, allowed: frozenset[StrEnum]) -> None:
        self.current, self.wanted, self.allowed = current, wanted, allowed
        ways = ", ".join(sorted(state.value for state in allowed)) or "nothing"
        super().__init__(
            f"It is {current.value} now, so it cannot become {wanted.value}; from here it can become: {ways}."
        )


def check_move(moves: Mapping[S, frozenset[S]], current: S, wanted: S) -> None:
    """Raise IllegalMoveError unless `moves` allows going from `current` to `wanted`."""
    if wanted not in moves[current]:
        raise IllegalMoveError(current, wanted, frozenset(moves[current]))
