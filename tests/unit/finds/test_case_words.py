"""The way of a case in steps: what is done, what is to be done now, and what comes later."""

from datetime import date

import pytest

from finds.case_words import Facts, progress
from finds.states import CaseState

TODAY = date(2026, 11, 27)


def labels(
    state: CaseState, *, acknowledged: date | None = None, decided: date | None = None, away: int = 0
) -> list[str]:
    reported = None if state in (CaseState.FLAGGED, CaseState.REVIEW) else date(2026, 10, 3)
    facts = Facts(
        state=state, opened=date(2026, 10, 1), due=date(2026, 12, 3), due_words="", authority="the Coroner",
        reported=reported, reference="", acknowledged=acknowledged, decided=decided, decision="Returned", away=away,
    )  # fmt: skip
    return [step.label for step in progress(facts, TODAY)]


@pytest.mark.parametrize("day", [None, date(2026, 10, 6)])
def test_a_confirmed_case_waits_for_the_decision_whether_or_not_the_day_was_kept(day: date | None) -> None:
    assert labels(CaseState.ACKNOWLEDGED, acknowledged=day) == ["Done", "Done", "Done", "Now", "Later"]


def test_one_thing_is_to_be_done_at_a_time() -> None:
    assert labels(CaseState.FLAGGED) == ["Done", "Now", "Later", "Later", "Later"]
    assert labels(CaseState.REPORTED) == ["Done", "Done", "Now", "Later", "Later"]
    decided = date(2026, 11, 2)
    assert labels(CaseState.DECIDED, decided=decided, away=1) == ["Done", "Done", "Done", "Done", "Now"]
    assert labels(CaseState.DECIDED, decided=decided) == ["Done"] * 5
