"""The states of a heritage case, and the moves between them."""

from enum import StrEnum


class CaseState(StrEnum):
    FLAGGED = "flagged"
    REVIEW = "under review"
    NO_DUTY = "no duty"
    REPORTED = "reported"
    ACKNOWLEDGED = "acknowledged"
    DECIDED = "decided"
    CLOSED = "closed"


CASE_MOVES: dict[CaseState, frozenset[CaseState]] = {
    CaseState.FLAGGED: frozenset({CaseState.REVIEW, CaseState.REPORTED}),
    CaseState.REVIEW: frozenset({CaseState.NO_DUTY, CaseState.REPORTED}),
    CaseState.NO_DUTY: frozenset({CaseState.REVIEW, CaseState.CLOSED}),
    CaseState.REPORTED: frozenset({CaseState.ACKNOWLEDGED, CaseState.DECIDED}),
    CaseState.ACKNOWLEDGED: frozenset({CaseState.DECIDED}),
    CaseState.DECIDED: frozenset({CaseState.CLOSED}),
    CaseState.CLOSED: frozenset({CaseState.REVIEW}),
}

# A case in one of these has told nobody yet: its clock still runs.
CLOCK_RUNS = frozenset({CaseState.FLAGGED, CaseState.REVIEW})
# The findspot stays locked until the case has ended.
LOCKS = frozenset(set(CaseState) - {CaseState.NO_DUTY, CaseState.CLOSED})


class PairState(StrEnum):
    """A pair that may be one find: waiting, asked about, judged, or no longer worth looking at."""

    OPEN = "open"
    ASKED = "asked"
    SAME = "same"
    APART = "apart"
    GONE = "gone"


PAIR_MOVES: dict[PairState, frozenset[PairState]] = {
    PairState.OPEN: frozenset({PairState.ASKED, PairState.SAME, PairState.APART, PairState.GONE}),
    PairState.ASKED: frozenset({PairState.OPEN, PairState.SAME, PairState.APART, PairState.GONE}),
    # Only what becomes known later opens it again; a pair that was grouped may be taken apart.
    PairState.SAME: frozenset({PairState.APART, PairState.OPEN}),
    PairState.APART: frozenset({PairState.OPEN, PairState.SAME}),
    PairState.GONE: frozenset({PairState.OPEN, PairState.SAME, PairState.APART}),
}
