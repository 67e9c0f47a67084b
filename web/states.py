"""A state machine as a table of allowed moves."""

from collections.abc import Mapping
from enum import StrEnum
from typing import TypeVar

from django.utils.translation import gettext as _

S = TypeVar("S", bound=StrEnum)


class IllegalMoveError(Exception):
    """The record is not in a state from which this move is allowed."""

    def __init__(self, current: StrEnum, wanted: StrEnum, allowed: frozenset[StrEnum]) -> None:
        self.current, self.wanted, self.allowed = current, wanted, allowed
        ways = ", ".join(sorted(_(state.value) for state in allowed)) or _("nothing")
        super().__init__(
            _(
                "It is %(current_value)s now, so it cannot become %(wanted_value)s; from here it can "
                "become: %(ways)s."
            )
            % {"current_value": _(current.value), "wanted_value": _(wanted.value), "ways": ways}
        )


def check_move(moves: Mapping[S, frozenset[S]], current: S, wanted: S) -> None:
    """Raise IllegalMoveError unless `moves` allows going from `current` to `wanted`."""
    if wanted not in moves[current]:
        raise IllegalMoveError(current, wanted, frozenset(moves[current]))
