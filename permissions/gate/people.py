"""Reasons from the people put forward: whoever lacks something on that day shuts the visit, by name."""

from __future__ import annotations

from collections.abc import Iterator

from permissions.gate.agreement import first_up
from permissions.gate.answer import Answer, Reason, ReasonCode
from permissions.gate.case import Case
from permissions.gate.facts import Period, PersonFacts
from permissions.gate.ground import last_end, next_start
from permissions.terms import Terms, WhoMay, long_date, money
from tongue import say as _


def people_reasons(case: Case) -> Iterator[Reason]:
    for person in case.visit.people:
        yield from _cards(case, person)
        for agreement, terms in case.terms():
            tail = case.because(agreement)
            for code, effect, words in _against_terms(case, person, agreement.key, terms):
                yield Reason(code, effect, words + tail, person.key)
    yield from _names_unknown(case)
    yield from _juniors_alone(case)


def _cards(case: Case, person: PersonFacts) -> Iterator[Reason]:
    if case.policy.membership_required and not person.is_guest:
        yield from _card(case, person, person.memberships, ReasonCode.MEMBERSHIP, "membership")
    if case.policy.insurance_required:
        yield from _card(case, person, person.insurance, ReasonCode.INSURANCE, "insurance")


def _card(
    case: Case, person: PersonFacts, periods: tuple[Period, ...], code: ReasonCode, what: str
) -> Iterator[Reason]:
    if any(p.covers(case.on) for p in periods):
        return
    following, gone = next_start(periods, case), last_end(periods, case)
    words = _("%(person_name)s has no %(what)s on record") % {"person_name": person.name, "what": what}
    if gone and gone.ends:
        words = _("The %(what)s of %(person_name)s ended on %(long_date)s") % {
            "what": what,
            "person_name": person.name,
            "long_date": long_date(gone.ends),
        }
    if following and following.starts:
        words += _("; the next starts on %(long_date)s") % {"long_date": long_date(following.starts)}
    yield Reason(code, Answer.SHUT, f"{words}.", person.key, following.starts if following else None)


Draft = tuple[ReasonCode, Answer, str]


def _against_terms(case: Case, person: PersonFacts, agreement: str, terms: Terms) -> Iterator[Draft]:
    name = person.name
    if terms.who is WhoMay.NAMED_ONLY and agreement not in person.named_in:
        yield (
            ReasonCode.NOT_NAMED,
            Answer.SHUT,
            _("Only people named in the agreement may come; %(name)s is not.") % {"name": name},
        )
    if person.is_guest and not terms.guests:
        yield ReasonCode.GUEST, Answer.SHUT, _("The terms allow no guests; %(name)s is one.") % {"name": name}
    if person.is_junior and not terms.juniors:
        yield (
            ReasonCode.JUNIOR,
            Answer.SHUT,
            _("The terms allow no juniors; %(name)s is one.") % {"name": name},
        )
    yield from _age(person, terms)
    yield from _amount(case, person, terms)


def _age(person: PersonFacts, terms: Terms) -> Iterator[Draft]:
    least = terms.minimum_age
    if least is None:
        return
    if person.age is not None and person.age < least:
        yield (
            ReasonCode.TOO_YOUNG,
            Answer.SHUT,
            _("The terms ask for %(least)s years at least; %(person_name)s is younger.")
            % {"least": least, "person_name": person.name},
        )
    elif person.age is None and (person.is_junior or least > 18):
        yield (
            ReasonCode.AGE_UNKNOWN,
            Answer.ASK,
            _("The terms ask for %(least)s years at least; ask how old %(person_name)s is.")
            % {"least": least, "person_name": person.name},
        )


def _amount(case: Case, person: PersonFacts, terms: Terms) -> Iterator[Draft]:
    floor = terms.insurance_floor
    held = [c.amount for c in person.insurance if c.covers(case.on)]
    if floor is None or not held:
        return
    known = [a for a in held if a is not None and a.is_finite()]
    asked = _("The terms ask for cover of %(money)s") % {"money": money(floor, terms.currency)}
    if floor.is_finite() and any(a >= floor for a in known):
        return
    if floor.is_finite() and len(known) == len(held):
        best = money(max(known), terms.currency)
        yield (
            ReasonCode.INSURANCE_LOW,
            Answer.SHUT,
            _("%(asked)s; %(person_name)s is covered to %(best)s.")
            % {"asked": asked, "person_name": person.name, "best": best},
        )
    else:
        yield (
            ReasonCode.INSURANCE_UNKNOWN,
            Answer.ASK,
            _("%(asked)s; see how far %(person_name)s is covered.")
            % {"asked": asked, "person_name": person.name},
        )


def _names_unknown(case: Case) -> Iterator[Reason]:
    if case.visit.people or not case.visit.planned:
        return
    for agreement, terms in case.terms():
        if terms.who is WhoMay.NAMED_ONLY:
            words = _("Only people named in the agreement may come; say who.") + case.because(agreement)
            yield Reason(ReasonCode.NAMES_UNKNOWN, Answer.ASK, words, agreement.key)


def _juniors_alone(case: Case) -> Iterator[Reason]:
    people = case.visit.people
    if not case.policy.junior_needs_adult or any(not p.is_junior for p in people):
        return
    for person in people:
        words = _("%(first_up)s is a junior and no adult is down to come; ask who is responsible.") % {
            "first_up": first_up(person.name)
        }
        yield Reason(ReasonCode.JUNIOR_ALONE, Answer.ASK, words, person.key)
