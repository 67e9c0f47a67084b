"""The states of hunts, sign-ups and holes, and the moves between them."""

from enum import StrEnum


class HuntState(StrEnum):
    PLANNED = "planned"
    OPEN = "open"
    RUNNING = "running"
    CLOSED = "closed"
    CALLED_OFF = "called off"


HUNT_MOVES: dict[HuntState, frozenset[HuntState]] = {
    HuntState.PLANNED: frozenset({HuntState.OPEN, HuntState.CALLED_OFF}),
    HuntState.OPEN: frozenset({HuntState.RUNNING, HuntState.CALLED_OFF}),
    HuntState.RUNNING: frozenset({HuntState.CLOSED, HuntState.CALLED_OFF}),
    HuntState.CLOSED: frozenset(),
    HuntState.CALLED_OFF: frozenset(),
}


class SignUpState(StrEnum):
    IN = "in"
    WAITING = "waiting"
    WITHDRAWN = "withdrawn"


class HoleState(StrEnum):
    DUG = "dug"
    FILLED = "filled"
    CHECKED = "checked"


HOLE_MOVES: dict[HoleState, frozenset[HoleState]] = {
    HoleState.DUG: frozenset({HoleState.FILLED}),
    HoleState.FILLED: frozenset({HoleState.CHECKED, HoleState.DUG}),
    HoleState.CHECKED: frozenset({HoleState.DUG}),
}
