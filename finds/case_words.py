"""How a case stands, in plain words for its finder: what has happened, what happens now, what comes after. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from finds.states import CLOCK_RUNS, CaseState
from tongue import noop

WHAT_NOW: dict[CaseState, str] = {
    CaseState.FLAGGED: noop("The committee looks at it. You can report it yourself at any time."),
    CaseState.REVIEW: noop("The committee is looking at it. You can report it yourself at any time."),
    CaseState.NO_DUTY: noop(
        "Two of the committee agreed that nothing has to be reported. You can still report it."
    ),
    CaseState.REPORTED: noop("The authority was told. Now its confirmation is awaited."),
    CaseState.ACKNOWLEDGED: noop("The authority confirmed that it knows. Now its decision is awaited."),
    CaseState.DECIDED: noop(
        "The authority has decided. The case ends when every object is where it belongs."
    ),
    CaseState.CLOSED: noop("The case has ended."),
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
    steps = [
        Step(
            "done",
            _("Done"),
            _("Flagged"),
            _("%(day)s: it may have to be reported.") % {"day": _day(facts.opened)},
        )
    ]
    if facts.state is CaseState.NO_DUTY or (facts.state is CaseState.CLOSED and facts.reported is None):
        agreed = Step(
            "done", _("Done"), _("Nothing is owed"), _("Two of the committee looked at it and agreed.")
        )
        return [*steps, agreed, _step(facts.state is CaseState.CLOSED, _("Closed"), "")]
    return [*steps, _report(facts, today), *_after(facts)]


def _report(facts: Facts, today: date) -> Step:
    to = facts.authority or _("the authority")
    if facts.reported is not None:
        reference = (
            _(", reference %(facts_reference)s") % {"facts_reference": facts.reference}
            if facts.reference
            else ""
        )
        return Step(
            "done", _("Done"), _("Reported to %(to)s") % {"to": to}, f"{_day(facts.reported)}{reference}."
        )
    if facts.due is None:
        return Step(
            "soon", _("Now"), _("Report to %(to)s") % {"to": to}, facts.due_words or _("As soon as possible.")
        )
    late = facts.due < today
    last = (_("The last day was %(day)s.") if late else _("The last day is %(day)s.")) % {
        "day": _day(facts.due)
    }
    return Step(
        "late" if late else "soon", _("Late") if late else _("Now"), _("Report to %(to)s") % {"to": to}, last
    )


def _after(facts: Facts) -> Sequence[Step]:
    reported = facts.state not in CLOCK_RUNS
    decided = facts.decided is not None and facts.state in {CaseState.DECIDED, CaseState.CLOSED}
    home = decided and not facts.away
    where = _("%(facts_away)s still away.") % {"facts_away": facts.away} if facts.away else ""
    # A case that was moved on by hand has the state and no day.
    confirmed = facts.acknowledged is not None or facts.state is CaseState.ACKNOWLEDGED or decided
    verdict = _("Decided: %(decision)s") % {"decision": facts.decision.lower()} if decided else _("Decided")
    return (
        _step(confirmed, _("Confirmed by them"), _day(facts.acknowledged), now=reported),
        _step(decided, verdict, _day(facts.decided), now=reported and confirmed),
        _step(home, _("Every object where it belongs"), where if decided else "", now=decided),
    )  # fmt: skip


def _step(done: bool, title: str, words: str, *, now: bool = False) -> Step:
    if done:
        return Step("done", _("Done"), title, words)
    return Step("soon", _("Now"), title, words) if now else Step("plain", _("Later"), title, words)


def _day(day: date | None) -> str:
    return date_format(day, "j M Y") if day else ""
