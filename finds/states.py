"""The states of a heritage case, and the moves between them."""

from enum import StrEnum

from tongue import noop


class CaseState(StrEnum):
    FLAGGED = noop("flagged")
    REVIEW = noop("under review")
    NO_DUTY = noop("no duty")
    REPORTED = noop("reported")
    ACKNOWLEDGED = noop("acknowledged")
    DECIDED = noop("decided")
    CLOSED = noop("closed")


CASE_MOVES: dict[CaseState, frozenset[CaseState]] = {
    CaseState.FLAGGED: frozenset({CaseState.REVIEW, CaseState.REPORTED}),
    CaseState.REVIEW: frozenset({CaseState.NO_DUTY, CaseState.REPORTED}),
    # The finder can always report directly, also what the committee thought nothing of.
    CaseState.NO_DUTY: frozenset({CaseState.REVIEW, CaseState.REPORTED, CaseState.CLOSED}),
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

    OPEN = noop("open")
    ASKED = noop("asked")
    SAME = noop("same")
    APART = noop("apart")
    GONE = noop("gone")


# A pair that was judged is judged once: what becomes known later opens it again, and taking a find out of its group
# sets it apart. To think again, people make a group or take one apart, with their reasons.
PAIR_MOVES: dict[PairState, frozenset[PairState]] = {
    PairState.OPEN: frozenset({PairState.ASKED, PairState.SAME, PairState.APART, PairState.GONE}),
    PairState.ASKED: frozenset({PairState.OPEN, PairState.SAME, PairState.APART}),
    PairState.SAME: frozenset({PairState.OPEN}),
    PairState.APART: frozenset({PairState.OPEN}),
    PairState.GONE: frozenset({PairState.OPEN, PairState.ASKED, PairState.SAME, PairState.APART}),
}


class SheetState(StrEnum):
    """A settlement sheet: written, sent for signature, signed by some, by all, disputed, or replaced."""

    DRAFT = noop("draft")
    SENT = noop("sent")
    PART = noop("part")
    SETTLED = noop("settled")
    DISPUTED = noop("disputed")
    REPLACED = noop("replaced")


# Who disputed a sheet may sign it after all; a settled one is only ever replaced by another that all sign again.
SHEET_MOVES: dict[SheetState, frozenset[SheetState]] = {
    SheetState.DRAFT: frozenset({SheetState.SENT, SheetState.REPLACED}),
    SheetState.SENT: frozenset(
        {SheetState.PART, SheetState.SETTLED, SheetState.DISPUTED, SheetState.REPLACED}
    ),
    SheetState.PART: frozenset({SheetState.SETTLED, SheetState.DISPUTED, SheetState.REPLACED}),
    SheetState.DISPUTED: frozenset(
        {SheetState.SENT, SheetState.PART, SheetState.SETTLED, SheetState.REPLACED}
    ),
    SheetState.SETTLED: frozenset({SheetState.REPLACED}),
    SheetState.REPLACED: frozenset(),
}
LIVE_SHEETS = frozenset(set(SheetState) - {SheetState.REPLACED})


class HandOverState(StrEnum):
    """A hand-over: proposed, and then one of three ends. Custody moves with `accepted` and with nothing else."""

    PROPOSED = noop("proposed")
    ACCEPTED = noop("accepted")
    REFUSED = noop("refused")
    CANCELLED = noop("cancelled")


HAND_OVER_MOVES: dict[HandOverState, frozenset[HandOverState]] = {
    HandOverState.PROPOSED: frozenset(
        {HandOverState.ACCEPTED, HandOverState.REFUSED, HandOverState.CANCELLED}
    ),
    HandOverState.ACCEPTED: frozenset(),
    HandOverState.REFUSED: frozenset(),
    HandOverState.CANCELLED: frozenset(),
}


class ItemState(StrEnum):
    """One object of a hand-over: waiting, gone over, not received, or taken out before it went."""

    WAITING = noop("waiting")
    MOVED = noop("moved")
    MISSING = noop("missing")
    OUT = noop("out")
