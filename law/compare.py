"""What changed from one screening of a find to the next: its outcome, its duties, their last day and the questions."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from enum import StrEnum
from typing import TypeVar

from law.clock import Due, day_words, moment_words
from law.screening import DutyFound, Outcome, RuledOut, Screening, Strength

R = TypeVar("R", DutyFound, RuledOut)

OUTCOMES = {
    Outcome.NO_DUTY_FOUND: "no duty found",
    Outcome.POSSIBLE_DUTY: "possible duty",
    Outcome.DUTY: "duty",
}
STRENGTHS = {Strength.DUTY: "duty", Strength.POSSIBLE: "possible duty"}
RULED_OUT, NOT_JUDGED = "ruled out", "not judged"


class What(StrEnum):
    """Which part of the answer changed."""

    OUTCOME = "outcome"
    DUTY = "duty"
    DUE = "last day"
    ASKED = "question"


@dataclass(frozen=True, slots=True)
class Change:
    """One difference in words, with the clause it rests on and why the new answer is as it is."""

    what: str
    before: str
    after: str
    pack: str = ""
    rule: str = ""
    clause: str = ""
    title: str = ""
    why: str = ""

    def to_dict(self) -> dict[str, str]:
        return asdict(self)


def differences(before: Screening | None, after: Screening) -> tuple[Change, ...]:
    """Every change of outcome, duty, last day and question; empty when the answer is the same.

    The words of a rule may change without a difference here: what is owed, to whom it matters, does not.
    `before` is None for a find that was never screened.
    """
    outcome = OUTCOMES[before.outcome] if before else NOT_JUDGED
    changes: list[Change] = []
    if outcome != OUTCOMES[after.outcome]:
        changes.append(Change(What.OUTCOME, outcome, OUTCOMES[after.outcome]))
    changes += _duties(before, after)
    changes += _questions(before, after)
    return tuple(changes)


def _duties(before: Screening | None, after: Screening) -> Iterable[Change]:
    old = _by_rule(before.duties) if before else {}
    new = _by_rule(after.duties)
    judged = (_by_rule(before.ruled_out) if before else {}) | old
    for key, duty in new.items():
        was = old.get(key)
        said = STRENGTHS[was.strength] if was else RULED_OUT if key in judged else NOT_JUDGED
        if said != STRENGTHS[duty.strength]:
            yield _change(What.DUTY, duty, said, STRENGTHS[duty.strength], duty.why or duty.still_unknown)
        if was and due_words(was.due) != due_words(duty.due):
            yield _change(
                What.DUE, duty, due_words(was.due), due_words(duty.due), (duty.due.counted or duty.due.words,)
            )
    ruled = _by_rule(after.ruled_out)
    for key, duty in old.items():
        if key not in new:
            out = ruled.get(key)
            said = RULED_OUT if out else "no longer in the rules"
            yield _change(What.DUTY, out or duty, STRENGTHS[duty.strength], said, out.why if out else ())


def _by_rule(rules: Iterable[R]) -> dict[tuple[str, str], R]:
    return {(rule.pack, rule.rule): rule for rule in rules}


def _change(what: What, rule: DutyFound | RuledOut, before: str, after: str, why: Iterable[str]) -> Change:
    return Change(what, before, after, rule.pack, rule.rule, rule.clause, rule.title, " ".join(why))


def _questions(before: Screening | None, after: Screening) -> Iterable[Change]:
    old = {unknown.fact: unknown.question for unknown in before.unknowns} if before else {}
    new = {unknown.fact: unknown.question for unknown in after.unknowns}
    for fact, question in new.items():
        if fact not in old:
            yield Change(What.ASKED, "not asked", "asked", title=question)
    for fact, question in old.items():
        if fact not in new:
            yield Change(What.ASKED, "asked", "no longer asked", title=question)


def due_words(due: Due) -> str:
    """By when, in words."""
    if due.at is not None:
        return moment_words(due.at)
    if due.on is not None:
        return day_words(due.on)
    guide = f", guidance {day_words(due.guide)}" if due.guide else ""
    return f"as soon as possible{guide}" if due.asap else "no day"
