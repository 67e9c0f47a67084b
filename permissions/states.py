"""The states of a permission and the moves between them."""

from enum import StrEnum

from tongue import noop


class State(StrEnum):
    DRAFT = noop("draft")
    ASKED = noop("asked")
    GRANTED = noop("granted")
    PAUSED = noop("paused")
    ENDED = noop("ended")
    REFUSED = noop("refused")


MOVES: dict[State, frozenset[State]] = {
    State.DRAFT: frozenset({State.ASKED, State.GRANTED, State.REFUSED}),
    State.ASKED: frozenset({State.GRANTED, State.REFUSED}),
    State.GRANTED: frozenset({State.PAUSED, State.ENDED}),
    State.PAUSED: frozenset({State.GRANTED, State.ENDED}),
    State.ENDED: frozenset(),
    State.REFUSED: frozenset({State.ASKED}),
}
