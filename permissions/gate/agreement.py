"""Reasons from the permission itself: its state, its dates, and others over the same ground."""

from __future__ import annotations

from collections.abc import Iterator

from permissions.gate.answer import Answer, Reason, ReasonCode
from permissions.gate.case import Case, permission_in_force
from permissions.gate.facts import OverlapFacts, PermissionFacts, PermissionState
from permissions.terms import contradictions, long_date

_STATE = {
    PermissionState.REFUSED: (ReasonCode.PERMISSION_REFUSED, "{} was refused."),
    PermissionState.PAUSED: (ReasonCode.PERMISSION_PAUSED, "{} is paused by a landholder."),
    PermissionState.ENDED: (ReasonCode.PERMISSION_ENDED, "{} has been ended."),
    PermissionState.DRAFT: (ReasonCode.PERMISSION_DRAFT, "{} is only a draft; nobody has been asked yet."),
    PermissionState.ASKED: (ReasonCode.PERMISSION_ASKED, "{} has been asked for but not yet granted."),
}


def first_up(words: str) -> str:
    return words[:1].upper() + words[1:]


def permission_reasons(case: Case) -> Iterator[Reason]:
    p = case.permission
    if p is None:
        yield Reason(
            ReasonCode.PERMISSION_NONE, Answer.SHUT, f"No permission covers {case.site.name}.", case.site.key
        )
        return
    if p.state in _STATE:
        code, words = _STATE[p.state]
        yield Reason(code, Answer.SHUT, first_up(words.format(p.name)), p.key)
    if p.sites is not None and case.site.key not in p.sites:
        words = f"{first_up(p.name)} does not cover {case.site.name}."
        yield Reason(ReasonCode.PERMISSION_OTHER_SITE, Answer.SHUT, words, p.key)
    yield from _date_reasons(case, p)


def _date_reasons(case: Case, p: PermissionFacts) -> Iterator[Reason]:
    name = first_up(p.name)
    if p.starts and p.ends and p.ends < p.starts:
        words = (
            f"{name} ends on {long_date(p.ends)}, before its start on {long_date(p.starts)}; correct that."
        )
        yield Reason(ReasonCode.PERMISSION_DATES_REVERSED, Answer.SHUT, words, p.key)
    elif p.starts and case.on < p.starts:
        words = f"{name} starts on {long_date(p.starts)}."
        yield Reason(ReasonCode.PERMISSION_NOT_STARTED, Answer.SHUT, words, p.key, p.starts)
    elif p.ends and case.on > p.ends:
        words = f"{name} ended on {long_date(p.ends)}."
        yield Reason(ReasonCode.PERMISSION_EXPIRED, Answer.SHUT, words, p.key)


def overlap_reasons(case: Case) -> Iterator[Reason]:
    """A pause elsewhere stops the shared ground too; differing terms are noted, and the stricter decides."""
    own = case.permission.key if case.permission else None
    for overlap in case.site.overlaps:
        if overlap.permission.key != own:
            yield from _overlap(case, overlap)


def _overlap(case: Case, overlap: OverlapFacts) -> Iterator[Reason]:
    other = overlap.permission
    where = f"{first_up(other.name)} covers part of the same ground{_shared(overlap)}"
    if other.state is PermissionState.PAUSED:
        yield Reason(
            ReasonCode.OVERLAP_PAUSED, Answer.SHUT, f"{where} and is paused by a landholder.", other.key
        )
    elif other.state is PermissionState.REFUSED:
        words = f"{where} and was refused; ask who has the say there."
        yield Reason(ReasonCode.OVERLAP_REFUSED, Answer.ASK, words, other.key)
    elif case.permission and permission_in_force(other, case.on):
        differ = contradictions(case.permission.terms, other.terms)
        if differ:
            names = ", ".join(n.replace("_", " ") for n in differ)
            words = (
                f"{where} as {case.permission.name}, but the two differ in: {names}. The stricter decides."
            )
            yield Reason(ReasonCode.OVERLAP_TERMS, Answer.OPEN, words, other.key, None)


def _shared(overlap: OverlapFacts) -> str:
    area = overlap.shared_m2
    via = f" by way of {overlap.site_name}" if overlap.site_name else ""
    return via if area is None or not 0 < area < 1e12 else f"{via} ({area / 10_000:.2f} ha)"
