"""The states of hunts, sign-ups and holes, and the moves between them."""

from enum import StrEnum

from tongue import noop


class HuntState(StrEnum):
    PLANNED = noop("planned")
    OPEN = noop("open")
    RUNNING = noop("running")
    CLOSED = noop("closed")
    CALLED_OFF = noop("called off")


HUNT_MOVES: dict[HuntState, frozenset[HuntState]] = {
    HuntState.PLANNED: frozenset({HuntState.OPEN, HuntState.CALLED_OFF}),
    HuntState.OPEN: frozenset({HuntState.RUNNING, HuntState.CALLED_OFF}),
    HuntState.RUNNING: frozenset({HuntState.CLOSED, HuntState.CALLED_OFF}),
    HuntState.CLOSED: frozenset(),
    HuntState.CALLED_OFF: frozenset(),
}


class SignUpState(StrEnum):
    IN = noop("in")
    WAITING = noop("waiting")
    WITHDRAWN = noop("withdrawn")


class HoleState(StrEnum):
    DUG = noop("dug")
    FILLED = noop("filled")
    CHECKED = noop("checked")


HOLE_MOVES: dict[HoleState, frozenset[HoleState]] = {
    HoleState.DUG: frozenset({HoleState.FILLED}),
    HoleState.FILLED: frozenset({HoleState.CHECKED, HoleState.DUG}),
    HoleState.CHECKED: frozenset({HoleState.DUG}),
}
