"""The states of a visit to the heritage officer, and the moves between them."""

from enum import StrEnum


class OfficerVisitState(StrEnum):
    """Planned, then recorded as it went, or called off."""

    PLANNED = "planned"
    DONE = "done"
    CALLED_OFF = "called off"


OFFICER_VISIT_MOVES: dict[OfficerVisitState, frozenset[OfficerVisitState]] = {
    OfficerVisitState.PLANNED: frozenset({OfficerVisitState.DONE, OfficerVisitState.CALLED_OFF}),
    OfficerVisitState.DONE: frozenset(),
    OfficerVisitState.CALLED_OFF: frozenset(),
}
