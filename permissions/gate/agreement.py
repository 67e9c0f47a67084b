"""Reasons from the permission itself: its state, its dates, and others over the same ground."""

from __future__ import annotations

from collections.abc import Iterator

from permissions.gate.answer import Answer, Reason, ReasonCode
from permissions.gate.case import Case, permission_in_force
from permissions.gate.facts import OverlapFacts, PermissionFacts, PermissionState
from permissions.terms import contradictions, long_date
from permissions.terms.names import TERM_NAMES
from tongue import figure, noop
from tongue import say as _

_STATE = {
    PermissionState.REFUSED: (ReasonCode.PERMISSION_REFUSED, noop("%(name)s was refused.")),
    PermissionState.PAUSED: (ReasonCode.PERMISSION_PAUSED, noop("%(name)s is paused by a landholder.")),
    PermissionState.ENDED: (ReasonCode.PERMISSION_ENDED, noop("%(name)s has been ended.")),
    PermissionState.DRAFT: (
        ReasonCode.PERMISSION_DRAFT,
        noop("%(name)s is only a draft; nobody has been asked yet."),
    ),
    PermissionState.ASKED: (
        ReasonCode.PERMISSION_ASKED,
        noop("%(name)s has been asked for but not yet granted."),
    ),
}


def first_up(words: str) -> str:
    return words[:1].upper() + words[1:]


def permission_reasons(case: Case) -> Iterator[Reason]:
    p = case.permission
    if p is None:
        yield Reason(
            ReasonCode.PERMISSION_NONE,
            Answer.SHUT,
            _("No permission covers %(site_name)s.") % {"site_name": case.site.name},
            case.site.key,
        )
        return
    if p.state in _STATE:
        code, words = _STATE[p.state]
        yield Reason(code, Answer.SHUT, first_up(_(words) % {"name": p.name}), p.key)
    if p.sites is not None and case.site.key not in p.sites:
        words = _("%(first_up)s does not cover %(site_name)s.") % {
            "first_up": first_up(p.name),
            "site_name": case.site.name,
        }
        yield Reason(ReasonCode.PERMISSION_OTHER_SITE, Answer.SHUT, words, p.key)
    yield from _date_reasons(case, p)


def _date_reasons(case: Case, p: PermissionFacts) -> Iterator[Reason]:
    name = first_up(p.name)
    if p.starts and p.ends and p.ends < p.starts:
        words = _("%(name)s ends on %(long_date)s, before its start on %(value)s; correct that.") % {
            "name": name,
            "long_date": long_date(p.ends),
            "value": long_date(p.starts),
        }
        yield Reason(ReasonCode.PERMISSION_DATES_REVERSED, Answer.SHUT, words, p.key)
    elif p.starts and case.on < p.starts:
        words = _("%(name)s starts on %(long_date)s.") % {"name": name, "long_date": long_date(p.starts)}
        yield Reason(ReasonCode.PERMISSION_NOT_STARTED, Answer.SHUT, words, p.key, p.starts)
    elif p.ends and case.on > p.ends:
        words = _("%(name)s ended on %(long_date)s.") % {"name": name, "long_date": long_date(p.ends)}
        yield Reason(ReasonCode.PERMISSION_EXPIRED, Answer.SHUT, words, p.key)


def overlap_reasons(case: Case) -> Iterator[Reason]:
    """A pause elsewhere stops the shared ground too; differing terms are noted, and the stricter decides."""
    own = case.permission.key if case.permission else None
    for overlap in case.site.overlaps:
        if overlap.permission.key != own:
            yield from _overlap(case, overlap)


def _overlap(case: Case, overlap: OverlapFacts) -> Iterator[Reason]:
    other = overlap.permission
    where = _("%(first_up)s covers part of the same ground%(shared)s") % {
        "first_up": first_up(other.name),
        "shared": _shared(overlap),
    }
    if other.state is PermissionState.PAUSED:
        yield Reason(
            ReasonCode.OVERLAP_PAUSED,
            Answer.SHUT,
            _("%(where)s and is paused by a landholder.") % {"where": where},
            other.key,
        )
    elif other.state is PermissionState.REFUSED:
        words = _("%(where)s and was refused; ask who has the say there.") % {"where": where}
        yield Reason(ReasonCode.OVERLAP_REFUSED, Answer.ASK, words, other.key)
    elif case.permission and permission_in_force(other, case.on):
        differ = contradictions(case.permission.terms, other.terms)
        if differ:
            names = ", ".join(_(TERM_NAMES[n]) for n in differ)
            words = _(
                "%(where)s as %(permission_name)s, but the two differ in: %(names)s. The stricter decides."
            ) % {"where": where, "permission_name": case.permission.name, "names": names}
            yield Reason(ReasonCode.OVERLAP_TERMS, Answer.OPEN, words, other.key, None)


def _shared(overlap: OverlapFacts) -> str:
    area = overlap.shared_m2
    via = (
        _(" by way of %(overlap_site_name)s") % {"overlap_site_name": overlap.site_name}
        if overlap.site_name
        else ""
    )
    return (
        via
        if area is None or not 0 < area < 1e12
        else _("%(via)s (%(value)s ha)") % {"via": via, "value": figure(f"{area / 10000:.2f}")}
    )
