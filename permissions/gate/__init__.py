"""The gate: may these people search this site on this day? Pure; standard library only."""

from permissions.gate.answer import PERSONAL, Answer, Decision, Reason, ReasonCode, gravity, worst
from permissions.gate.case import permission_in_force
from permissions.gate.consents import consent_in_force, required_parties
from permissions.gate.decide import consents_complete, gate, is_in_force, personal
from permissions.gate.facts import (
    ClosedPeriodFacts,
    ConsentFacts,
    Cover,
    FieldStateFacts,
    LicenceFacts,
    NoticeFacts,
    OverlapFacts,
    PartyFacts,
    Period,
    PermissionFacts,
    PermissionState,
    PersonFacts,
    ProtectedFacts,
    Relation,
    SiteFacts,
    Tenure,
    VisitFacts,
)
from permissions.gate.policy import DEFAULT_POLICY, Policy
from permissions.gate.year import Span, Summary, summarise, year_of
from permissions.terms import Capacity, Terms

__all__ = [
    "DEFAULT_POLICY",
    "PERSONAL",
    "Answer",
    "Capacity",
    "ClosedPeriodFacts",
    "ConsentFacts",
    "Cover",
    "Decision",
    "FieldStateFacts",
    "LicenceFacts",
    "NoticeFacts",
    "OverlapFacts",
    "PartyFacts",
    "Period",
    "PermissionFacts",
    "PermissionState",
    "PersonFacts",
    "Policy",
    "ProtectedFacts",
    "Reason",
    "ReasonCode",
    "Relation",
    "SiteFacts",
    "Span",
    "Summary",
    "Tenure",
    "Terms",
    "VisitFacts",
    "consent_in_force",
    "consents_complete",
    "gate",
    "gravity",
    "is_in_force",
    "permission_in_force",
    "personal",
    "required_parties",
    "summarise",
    "worst",
    "year_of",
]
