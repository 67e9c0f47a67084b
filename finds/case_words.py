"""How a case stands, in plain words for its finder: what has happened, what happens now, what comes after. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from finds.states import CLOCK_RUNS, CaseState

WHAT_NOW: dict[CaseState, str] = {
    CaseState.FLAGGED: "The committee looks at it. You can report it yourself at any time.",
    CaseState.REVIEW: "The committee is looking at it. You can report it yourself at any time.",
    CaseState.NO_DUTY: "Two of the committee agreed that nothing has to be reported. You can still report it.",
    CaseState.REPORTED: "The authority was told. Now its confirmation is awaited.",
    CaseState.ACKNOWLEDGED: "The authority confirmed that it knows. Now its decision is awaited.",
    CaseState.DECIDED: "The authority has decided. The case ends when every object is where it belongs.",
    CaseState.CLOSED: "The case has ended.",
}
ORDER = (CaseState.FLAGGED, CaseState.REPORTED, CaseState.ACKNOWLEDGED, CaseState.DECIDED, CaseState.CLOSED)


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the way. `status` is that of _parts/_status.html."""

    status: str
    label: str
    title: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class Facts:
    """What the steps are told from."""

    state: CaseState
    opened: date
    due: date | None
    due_words: str
    authority: str
    reported: date | None
    reference: str
    acknowledged: date | None
    decided: date | None
    decision: str
    away: int


def progress(facts: Facts, today: date) -> list[Step]:
    """The steps from the flag to the end, done ones first. A case of no duty has three."""
    steps = [Step("done", "Done", "Flagged", f"{_day(facts.opened)}: it may have to be reported.")]
    if facts.state is CaseState.NO_DUTY or (facts.state is CaseState.CLOSED and facts.reported is None):
        agreed = Step("done", "Done", "Nothing is owed", "Two of the committee looked at it and agreed.")
        return [*steps, agreed, _step(facts.state is CaseState.CLOSED, "Closed", "")]
    return [*steps, _report(facts, today), *_after(facts)]


def _report(facts: Facts, today: date) -> Step:
    to = facts.authority or "the authority"
    if facts.reported is not None:
        reference = f", reference {facts.reference}" if facts.reference else ""
        return Step("done", "Done", f"Reported to {to}", f"{_day(facts.reported)}{reference}.")
    if facts.due is None:
        return Step("soon", "Now", f"Report to {to}", facts.due_words or "As soon as possible.")
    late = facts.due < today
    last = f"The last day {'was' if late else 'is'} {_day(facts.due)}."
    return Step("late" if late else "soon", "Late" if late else "Now", f"Report to {to}", last)


def _after(facts: Facts) -> Sequence[Step]:
    reported = facts.state not in CLOCK_RUNS
    decided = facts.decided is not None and facts.state in {CaseState.DECIDED, CaseState.CLOSED}
    home = decided and not facts.away
    where = f"{facts.away} still away." if facts.away else ""
    return (
        _step(facts.acknowledged is not None or decided, "Confirmed by them", _day(facts.acknowledged), now=reported),
        _step(decided, f"Decided{f': {facts.decision.lower()}' if decided else ''}", _day(facts.decided)),
        _step(home, "Every object where it belongs", where if decided else "", now=decided),
    )  # fmt: skip


def _step(done: bool, title: str, words: str, *, now: bool = False) -> Step:
    if done:
        return Step("done", "Done", title, words)
    return Step("soon", "Now", title, words) if now else Step("plain", "Later", title, words)


def _day(day: date | None) -> str:
    return f"{day:%-d %b %Y}" if day else ""
