"""The gate itself: every rule is asked, every reason kept, and the worst decides."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date

from permissions.gate.agreement import overlap_reasons, permission_reasons
from permissions.gate.answer import PERSONAL, Decision, Reason, gravity, worst
from permissions.gate.case import Case, permission_in_force
from permissions.gate.consents import consent_in_force, consent_reasons, required_parties, tenure_reasons
from permissions.gate.facts import PermissionFacts, SiteFacts, VisitFacts
from permissions.gate.ground import ground_reasons
from permissions.gate.notice import notice_reasons
from permissions.gate.people import people_reasons
from permissions.gate.policy import DEFAULT_POLICY, Policy
from permissions.gate.season import closed_reasons, field_reasons
from permissions.gate.visit import visit_reasons, weekday_reasons

Rule = Callable[[Case], Iterable[Reason]]

STEADY_RULES: tuple[Rule, ...] = (
    permission_reasons,
    tenure_reasons,
    consent_reasons,
    overlap_reasons,
    ground_reasons,
    closed_reasons,
    field_reasons,
    visit_reasons,
    people_reasons,
)


def gate(
    site: SiteFacts,
    permission: PermissionFacts | None,
    visit: VisitFacts,
    policy: Policy = DEFAULT_POLICY,
) -> Decision:
    """May these people search this site on `visit.on`? Open, ask or shut, with every reason, worst first.

    permission: None where there is none. Pure and total: it reads nothing but its arguments and raises on no
    well-typed input. Unknown is ask, never open. Source: the rules of facts/trade.md 1.1 to 1.5 and 2.1.
    """
    case = Case(site, permission, visit, policy, visit.on)
    return decision(case, [*steady_reasons(case), *weekday_reasons(case), *notice_reasons(case)])


def personal(
    site: SiteFacts, permission: PermissionFacts, visit: VisitFacts, policy: Policy = DEFAULT_POLICY
) -> list[Reason]:
    """Those reasons of `gate` that are about the people put forward. Of the site only its overlaps are looked at."""
    case = Case(site, permission, visit, policy, visit.on)
    return [reason for reason in people_reasons(case) if reason.code in PERSONAL]


def steady_reasons(case: Case) -> list[Reason]:
    """The reasons of every rule but weekday and notice, which alone change from one day to the next."""
    return [reason for rule in STEADY_RULES for reason in rule(case)]


def decision(case: Case, reasons: list[Reason]) -> Decision:
    ordered = tuple(sorted(dict.fromkeys(reasons), key=gravity))
    return Decision(case.site.key, case.on, worst(r.effect for r in ordered), ordered)


def is_in_force(permission: PermissionFacts, on: date) -> bool:
    """Granted, within its dates, and at least one consent is in force on that day."""
    return permission_in_force(permission, on) and any(consent_in_force(c, on) for c in permission.consents)


def consents_complete(site: SiteFacts, permission: PermissionFacts, on: date) -> bool:
    """Every landholder whose yes is needed is known and has said it, with evidence."""
    case = Case(site, permission, VisitFacts(on), DEFAULT_POLICY, on)
    return bool(required_parties(site, on)) and not any((*tenure_reasons(case), *consent_reasons(case)))
