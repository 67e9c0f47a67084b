"""The states of a visit to the heritage officer, and the moves between them."""

from enum import StrEnum

from tongue import noop


class OfficerVisitState(StrEnum):
    """Planned, then recorded as it went, or called off."""

    PLANNED = noop("planned")
    DONE = noop("done")
    CALLED_OFF = noop("called off")


OFFICER_VISIT_MOVES: dict[OfficerVisitState, frozenset[OfficerVisitState]] = {
    OfficerVisitState.PLANNED: frozenset({OfficerVisitState.DONE, OfficerVisitState.CALLED_OFF}),
    OfficerVisitState.DONE: frozenset(),
    OfficerVisitState.CALLED_OFF: frozenset(),
}
