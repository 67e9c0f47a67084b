"""What the gate says: an answer, the reasons for it worst first, and the day each reason ends."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class Answer(StrEnum):
    """May they search? `ASK` means: not before somebody has been asked."""

    OPEN = "open"
    ASK = "ask"
    SHUT = "shut"

    @property
    def severity(self) -> int:
        """0 open, 1 ask, 2 shut; compare this, never the words."""
        return _SEVERITY[self]


_SEVERITY = {Answer.OPEN: 0, Answer.ASK: 1, Answer.SHUT: 2}


def worst(effects: Iterable[Answer]) -> Answer:
    return max(effects, key=_SEVERITY.__getitem__, default=Answer.OPEN)


class ReasonCode(StrEnum):
    """Every reason there is, gravest first: among equals this order decides which is shown first."""

    PROTECTED_TOUCHES = "protected_touches"
    SITE_RETIRED = "site_retired"
    LICENCE_MISSING = "licence_missing"
    PERMISSION_NONE = "permission_none"
    PERMISSION_REFUSED = "permission_refused"
    PERMISSION_PAUSED = "permission_paused"
    PERMISSION_ENDED = "permission_ended"
    PERMISSION_DRAFT = "permission_draft"
    PERMISSION_ASKED = "permission_asked"
    PERMISSION_NOT_STARTED = "permission_not_started"
    PERMISSION_EXPIRED = "permission_expired"
    PERMISSION_OTHER_SITE = "permission_other_site"
    PERMISSION_DATES_REVERSED = "permission_dates_reversed"
    CONSENT_WITHDRAWN = "consent_withdrawn"
    CONSENT_MISSING = "consent_missing"
    CONSENT_NOT_GIVEN = "consent_not_given"
    CONSENT_NOT_STARTED = "consent_not_started"
    CONSENT_ENDED = "consent_ended"
    CONSENT_DATES_REVERSED = "consent_dates_reversed"
    CONSENT_OTHER_SITE = "consent_other_site"
    CONSENT_ORDER_UNCLEAR = "consent_order_unclear"
    CONSENT_NO_EVIDENCE = "consent_no_evidence"
    AGENT_WITHOUT_AUTHORITY = "agent_without_authority"
    AGENT_FOR_NOBODY = "agent_for_nobody"
    OWNER_UNKNOWN = "owner_unknown"
    OCCUPIER_UNKNOWN = "occupier_unknown"
    TENURE_UNKNOWN = "tenure_unknown"
    TENURE_CONTRADICTED = "tenure_contradicted"
    OVERLAP_PAUSED = "overlap_paused"
    OVERLAP_REFUSED = "overlap_refused"
    GROUND_ALL_NO_GO = "ground_all_no_go"
    CLOSED_PERIOD = "closed_period"
    FIELD_STATE = "field_state"
    LIVESTOCK = "livestock"
    FIELD_STATE_UNKNOWN = "field_state_unknown"
    FIELD_STATE_OLD = "field_state_old"
    PROTECTED_BUFFER = "protected_buffer"
    PROTECTED_CHECK_MISSING = "protected_check_missing"
    PROTECTED_CHECK_OLD = "protected_check_old"
    JURISDICTION_UNKNOWN = "jurisdiction_unknown"
    FAR_FROM_CLUB = "far_from_club"
    WEEKDAY = "weekday"
    HOURS = "hours"
    HOURS_UNKNOWN = "hours_unknown"
    HEADS_OVER = "heads_over"
    HEADS_UNKNOWN = "heads_unknown"
    NOTICE_SHORT = "notice_short"
    NOTICE_DUE = "notice_due"
    INFORM_DUE = "inform_due"
    VEHICLES_OVER = "vehicles_over"
    VEHICLES_UNKNOWN = "vehicles_unknown"
    DOGS = "dogs"
    DOGS_UNKNOWN = "dogs_unknown"
    MEMBERSHIP = "membership"
    INSURANCE = "insurance"
    INSURANCE_LOW = "insurance_low"
    INSURANCE_UNKNOWN = "insurance_unknown"
    NOT_NAMED = "not_named"
    NAMES_UNKNOWN = "names_unknown"
    GUEST = "guest"
    JUNIOR = "junior"
    TOO_YOUNG = "too_young"
    AGE_UNKNOWN = "age_unknown"
    JUNIOR_ALONE = "junior_alone"
    OVERLAP_TERMS = "overlap_terms"


_RANK = {code: place for place, code in enumerate(ReasonCode)}


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason. An effect of `OPEN` is a note: worth saying, no bar.

    record: the key of the record it came from. until: the first later day on which a reason of this code from
    this record is absent, given what is on record now; None where that cannot be known.
    """

    code: ReasonCode
    effect: Answer
    words: str
    record: str = ""
    until: date | None = None


def gravity(reason: Reason) -> tuple[int, int, str, str]:
    """Sort key: worst first, then the order of `ReasonCode`, then record and words; it never wavers."""
    return (-_SEVERITY[reason.effect], _RANK[reason.code], reason.record, reason.words)


@dataclass(frozen=True, slots=True)
class Decision:
    """The gate's answer for one site on one day."""

    site: str
    on: date
    answer: Answer
    reasons: tuple[Reason, ...] = ()

    @property
    def is_open(self) -> bool:
        return self.answer is Answer.OPEN

    @property
    def bars(self) -> tuple[Reason, ...]:
        """The reasons that ask or shut, without the notes."""
        return tuple(r for r in self.reasons if r.effect is not Answer.OPEN)

    @property
    def until(self) -> date | None:
        """The day by which each of today's worst reasons has ended; None where one has no known end."""
        ends = [r.until for r in self.reasons if r.effect is self.answer]
        known = [end for end in ends if end is not None]
        return max(known) if self.answer is not Answer.OPEN and known and len(known) == len(ends) else None


PERSONAL = frozenset(
    {
        ReasonCode.MEMBERSHIP,
        ReasonCode.INSURANCE,
        ReasonCode.INSURANCE_LOW,
        ReasonCode.INSURANCE_UNKNOWN,
        ReasonCode.NOT_NAMED,
        ReasonCode.GUEST,
        ReasonCode.JUNIOR,
        ReasonCode.TOO_YOUNG,
        ReasonCode.AGE_UNKNOWN,
        ReasonCode.JUNIOR_ALONE,
    }
)
