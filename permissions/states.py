"""The states of a permission and the moves between them."""

from enum import StrEnum


class State(StrEnum):
    DRAFT = "draft"
    ASKED = "asked"
    GRANTED = "granted"
    PAUSED = "paused"
    ENDED = "ended"
    REFUSED = "refused"


MOVES: dict[State, frozenset[State]] = {
    State.DRAFT: frozenset({State.ASKED, State.GRANTED, State.REFUSED}),
    State.ASKED: frozenset({State.GRANTED, State.REFUSED}),
    State.GRANTED: frozenset({State.PAUSED, State.ENDED}),
    State.PAUSED: frozenset({State.GRANTED, State.ENDED}),
    State.ENDED: frozenset(),
    State.REFUSED: frozenset({State.ASKED}),
}
