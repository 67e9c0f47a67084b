"""Reasons from consents: each required landholder said yes to this site, in the right capacity, on that day.

Source: facts/trade.md 1.1 (an owner alone on owner-occupied land; owner and occupier on let land; an agent
for the one they act for; sporting tenants and graziers are told but do not decide).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from permissions.gate.agreement import first_up
from permissions.gate.answer import Answer, Reason, ReasonCode
from permissions.gate.case import Case
from permissions.gate.facts import ConsentFacts, PartyFacts, SiteFacts, Tenure
from permissions.terms import Capacity, long_date
from permissions.terms.words import capacity_name
from tongue import say as _

_DECIDING = (Capacity.OWNER, Capacity.OCCUPIER)


def consent_in_force(consent: ConsentFacts, on: date) -> bool:
    """Given, begun, not ended and not withdrawn on that day. Evidence and site are judged apart."""
    return (
        consent.given_on is not None
        and consent.given_on <= on
        and (consent.starts is None or consent.starts <= on)
        and (consent.ends is None or on <= consent.ends)
        and (consent.withdrawn_on is None or on < consent.withdrawn_on)
    )


def required_parties(site: SiteFacts, on: date) -> tuple[PartyFacts, ...]:
    """Whose yes is needed on that day, of the parties on record."""
    needed = (Capacity.OWNER,) if site.tenure is Tenure.OWNER_OCCUPIED else _DECIDING
    return tuple(p for p in site.parties if p.capacity in needed and p.current(on))


def tenure_reasons(case: Case) -> Iterator[Reason]:
    site = case.site
    current = [p for p in site.parties if p.current(case.on)]
    owners = [p for p in current if p.capacity is Capacity.OWNER]
    occupiers = [p for p in current if p.capacity is Capacity.OCCUPIER]
    if not owners:
        words = _("No owner is on record for %(site_name)s; find out who owns it.") % {"site_name": site.name}
        yield Reason(ReasonCode.OWNER_UNKNOWN, Answer.ASK, words, site.key, _joins(case, Capacity.OWNER))
    if site.tenure is Tenure.UNKNOWN:
        words = _("Whether %(site_name)s is let is not known; ask the owner who farms it.") % {
            "site_name": site.name
        }
        yield Reason(ReasonCode.TENURE_UNKNOWN, Answer.ASK, words, site.key)
    elif site.tenure is Tenure.LET and not occupiers:
        words = _("%(first_up)s is let, but no occupier is on record; the occupier must agree too.") % {
            "first_up": first_up(site.name)
        }
        yield Reason(
            ReasonCode.OCCUPIER_UNKNOWN, Answer.ASK, words, site.key, _joins(case, Capacity.OCCUPIER)
        )
    elif site.tenure is Tenure.OWNER_OCCUPIED:
        yield from _contradicted(case, owners, occupiers)


def _joins(case: Case, capacity: Capacity) -> date | None:
    """The next day on which somebody in that capacity comes on record."""
    days = [p.since for p in case.site.parties if p.capacity is capacity and p.since and p.since > case.on]
    later = [d for d in days if any(p.capacity is capacity and p.current(d) for p in case.site.parties)]
    return min(later, default=None)


def _contradicted(case: Case, owners: list[PartyFacts], occupiers: list[PartyFacts]) -> Iterator[Reason]:
    keys = {p.landholder for p in owners}
    for p in occupiers:
        if p.landholder not in keys:
            words = _(
                "%(first_up)s is recorded as farmed by its owner, yet %(p_name)s is recorded as "
                "occupier; ask who farms it."
            ) % {"first_up": first_up(case.site.name), "p_name": p.name}
            yield Reason(ReasonCode.TENURE_CONTRADICTED, Answer.ASK, words, p.key or p.landholder)


def consent_reasons(case: Case) -> Iterator[Reason]:
    """For each required party the reasons of its best consent; none where one consent is wholly good."""
    if case.permission is None:
        return
    for party in required_parties(case.site, case.on):
        options = [list(_judge(case, party, c)) for c in case.permission.consents if _speaks(case, c, party)]
        if options:
            yield from min(options, key=_badness)
        else:
            yield from _missing(case, party)


def _badness(reasons: list[Reason]) -> tuple[int, int, date]:
    """Less is better: nothing wrong, then only questions, then what ends soonest."""
    ends = [r.until for r in reasons]
    soonest = max((e for e in ends if e), default=date.max) if None not in ends else date.max
    return max((r.effect.severity for r in reasons), default=0), len(reasons), soonest


def _agents(case: Case, consent: ConsentFacts) -> list[PartyFacts]:
    return [
        p
        for p in case.site.parties
        if p.capacity is Capacity.AGENT and p.landholder == consent.landholder and p.current(case.on)
    ]


def _speaks(case: Case, consent: ConsentFacts, party: PartyFacts) -> bool:
    """Is this consent the party's own in that capacity, or that of an agent who acts for the party?"""
    if consent.capacity is Capacity.AGENT:
        return any(a.acts_for == party.landholder for a in _agents(case, consent))
    return consent.landholder == party.landholder and consent.capacity is party.capacity


def _missing(case: Case, party: PartyFacts) -> Iterator[Reason]:
    record = party.key or party.landholder
    words = _("%(first_up)s, the %(capacity)s, has not consented.") % {
        "first_up": first_up(party.name),
        "capacity": capacity_name(party.capacity),
    }
    yield Reason(ReasonCode.CONSENT_MISSING, Answer.SHUT, words, record)
    for c in case.permission.consents if case.permission else ():
        loose = c.capacity is Capacity.AGENT and [a for a in _agents(case, c) if a.acts_for is None]
        if loose:
            words = _(
                "%(first_up)s consented as agent, but for whom is not recorded, so it does not count."
            ) % {"first_up": first_up(loose[0].name)}
            yield Reason(ReasonCode.AGENT_FOR_NOBODY, Answer.ASK, words, c.key)


def _judge(case: Case, party: PartyFacts, c: ConsentFacts) -> Iterator[Reason]:
    who = party.name
    if c.capacity is Capacity.AGENT:
        agents = [a for a in _agents(case, c) if a.acts_for == party.landholder]
        who = _("%(name)s, agent for %(party_name)s") % {"name": agents[0].name, "party_name": party.name}
        if not any(a.has_authority for a in agents):
            words = _(
                "%(who)s, consented, but the authority to do so is not on record; ask for it in writing."
            ) % {"who": who}
            yield Reason(ReasonCode.AGENT_WITHOUT_AUTHORITY, Answer.ASK, words, c.key)
    yield from _time_reasons(case, c, who)
    if c.sites is not None and case.site.key not in c.sites:
        words = _("The consent of %(who)s does not cover %(site_name)s.") % {
            "who": who,
            "site_name": case.site.name,
        }
        yield Reason(ReasonCode.CONSENT_OTHER_SITE, Answer.SHUT, words, c.key)
    if not c.evidence and c.given_on is not None:
        words = _("There is no evidence on file of the consent of %(who)s; ask for it in writing.") % {
            "who": who
        }
        yield Reason(ReasonCode.CONSENT_NO_EVIDENCE, Answer.ASK, words, c.key)


def _time_reasons(case: Case, c: ConsentFacts, who: str) -> Iterator[Reason]:
    shut, on = Answer.SHUT, case.on
    if c.given_on is None:
        yield Reason(
            ReasonCode.CONSENT_NOT_GIVEN,
            shut,
            _("%(first_up)s has been asked but has not answered.") % {"first_up": first_up(who)},
            c.key,
        )
        return
    first = max(c.given_on, c.starts or c.given_on)
    if c.ends and c.starts and c.ends < c.starts:
        words = _("The consent of %(who)s ends on %(long_date)s, before it starts on %(value)s.") % {
            "who": who,
            "long_date": long_date(c.ends),
            "value": long_date(c.starts),
        }
        yield Reason(ReasonCode.CONSENT_DATES_REVERSED, shut, words, c.key)
    elif c.withdrawn_on and c.withdrawn_on <= on:
        words = _("%(first_up)s withdrew consent on %(long_date)s.") % {
            "first_up": first_up(who),
            "long_date": long_date(c.withdrawn_on),
        }
        yield Reason(ReasonCode.CONSENT_WITHDRAWN, shut, words, c.key)
    elif c.ends and on > c.ends:
        words = _("The consent of %(who)s ended on %(long_date)s.") % {
            "who": who,
            "long_date": long_date(c.ends),
        }
        yield Reason(ReasonCode.CONSENT_ENDED, shut, words, c.key)
    elif on < first:
        words = _("The consent of %(who)s starts on %(long_date)s.") % {
            "who": who,
            "long_date": long_date(first),
        }
        yield Reason(ReasonCode.CONSENT_NOT_STARTED, shut, words, c.key, first)
    else:
        yield from _last_word(case, c, who)


def _last_word(case: Case, c: ConsentFacts, who: str) -> Iterator[Reason]:
    """The latest word counts: a consent does not stand against a later withdrawal by the same landholder."""
    for o in case.permission.consents if case.permission else ():
        same = o is not c and o.landholder == c.landholder and o.capacity is c.capacity
        gone = o.withdrawn_on
        if not same or gone is None or gone > case.on or c.given_on is None or c.given_on > gone:
            continue
        if o.sites is not None and case.site.key not in o.sites:
            continue
        if c.given_on < gone:
            words = _(
                "%(first_up)s withdrew consent on %(long_date)s; one given before that no longer counts."
            ) % {"first_up": first_up(who), "long_date": long_date(gone)}
            yield Reason(ReasonCode.CONSENT_WITHDRAWN, Answer.SHUT, words, o.key)
        else:
            words = _("%(first_up)s gave and withdrew consent on %(long_date)s; ask which came last.") % {
                "first_up": first_up(who),
                "long_date": long_date(gone),
            }
            yield Reason(ReasonCode.CONSENT_ORDER_UNCLEAR, Answer.ASK, words, c.key)
