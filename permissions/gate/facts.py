"""Plain facts the gate decides on. Keys are the callers' own (`consent:12`) and come back in the reasons.

All dates are inclusive first and last days; `None` as first or last day means open-ended. Times are club wall
clock: an offset on a time or datetime is ignored, so convert to local time first.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time
from decimal import Decimal
from enum import StrEnum

from permissions.gate.answer import Answer
from permissions.terms import Capacity, Terms


class Tenure(StrEnum):
    OWNER_OCCUPIED = "owner_occupied"
    LET = "let"
    UNKNOWN = "unknown"


class PermissionState(StrEnum):
    DRAFT = "draft"
    ASKED = "asked"
    GRANTED = "granted"
    PAUSED = "paused"
    ENDED = "ended"
    REFUSED = "refused"


class Relation(StrEnum):
    """How a protected place lies to the site."""

    TOUCHES = "touches"
    IN_BUFFER = "in_buffer"


@dataclass(frozen=True, slots=True)
class Period:
    """First to last day, both included."""

    starts: date | None = None
    ends: date | None = None
    key: str = ""

    def covers(self, on: date) -> bool:
        return (self.starts is None or self.starts <= on) and (self.ends is None or on <= self.ends)


@dataclass(frozen=True, slots=True)
class Cover(Period):
    """A period of public liability cover; amount in the terms' currency, None if not read off the card."""

    amount: Decimal | None = None


@dataclass(frozen=True, slots=True)
class PartyFacts:
    """A landholder's say over the site. An agent needs `acts_for` (a landholder key) and `has_authority`."""

    landholder: str
    name: str
    capacity: Capacity
    key: str = ""
    acts_for: str | None = None
    has_authority: bool = False
    since: date | None = None
    until: date | None = None

    def current(self, on: date) -> bool:
        return (self.since is None or self.since <= on) and (self.until is None or on <= self.until)


@dataclass(frozen=True, slots=True)
class ProtectedFacts:
    """A protected place; `lifted_by` holds periods of the heritage body's written consent to search there."""

    key: str
    name: str
    kind: str
    relation: Relation
    lifted_by: tuple[Period, ...] = ()


@dataclass(frozen=True, slots=True)
class FieldStateFacts:
    """One entry of the field-state log. livestock: None not said, "" none there, else what is there."""

    key: str
    on: date
    crop: str
    stage: str
    effect: Answer
    livestock: str | None = ""
    said_by: str = ""


@dataclass(frozen=True, slots=True)
class ClosedPeriodFacts:
    """Days on which the site is shut or asks. Yearly: only month and day count; it may wrap the new year."""

    key: str
    reason: str
    kind: str
    starts: date
    ends: date
    yearly: bool = False
    effect: Answer = Answer.SHUT


@dataclass(frozen=True, slots=True)
class LicenceFacts:
    """A licence that the jurisdiction itself requires; `lifted_by` holds the periods of licences recorded."""

    key: str
    code: str
    words: str
    lifted_by: tuple[Period, ...] = ()


@dataclass(frozen=True, slots=True)
class ConsentFacts:
    """One landholder's yes in one capacity.

    sites: None means all sites of the permission. given_on: None means asked, not answered. withdrawn_on: the
    first day on which it no longer counts.
    """

    key: str
    landholder: str
    capacity: Capacity
    given_on: date | None
    starts: date | None = None
    ends: date | None = None
    sites: frozenset[str] | None = None
    evidence: bool = True
    withdrawn_on: date | None = None


@dataclass(frozen=True, slots=True)
class PermissionFacts:
    """One agreement. sites: None means whatever site it is asked about."""

    key: str
    state: PermissionState
    name: str = "this permission"
    starts: date | None = None
    ends: date | None = None
    consents: tuple[ConsentFacts, ...] = ()
    terms: Terms = field(default_factory=Terms)
    sites: frozenset[str] | None = None


@dataclass(frozen=True, slots=True)
class OverlapFacts:
    """Another permission over part of the same ground, by way of another site or of this one."""

    permission: PermissionFacts
    site_name: str = ""
    shared_m2: float | None = None


@dataclass(frozen=True, slots=True)
class SiteFacts:
    """All about the ground. no_go_share: 0 to 1 of its area. distance_from_club_km: None is not measured.

    retired_on: the first day on which it is no longer used; `successors` name the sites that took its place.
    """

    key: str
    name: str = "this site"
    jurisdiction: str = ""
    tenure: Tenure = Tenure.UNKNOWN
    parties: tuple[PartyFacts, ...] = ()
    no_go_share: float = 0.0
    protected: tuple[ProtectedFacts, ...] = ()
    protected_checked_on: date | None = None
    field_states: tuple[FieldStateFacts, ...] = ()
    closed_periods: tuple[ClosedPeriodFacts, ...] = ()
    licences: tuple[LicenceFacts, ...] = ()
    overlaps: tuple[OverlapFacts, ...] = ()
    distance_from_club_km: float | None = None
    retired_on: date | None = None
    successors: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PersonFacts:
    """One person put forward. age: years on the day, None not known. named_in: permissions that name them."""

    key: str
    name: str
    memberships: tuple[Period, ...] = ()
    insurance: tuple[Cover, ...] = ()
    is_guest: bool = False
    is_junior: bool = False
    age: int | None = None
    named_in: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class NoticeFacts:
    """Notice of this visit given to one landholder. `waived`: they said short notice will do."""

    landholder: str
    given_at: datetime
    waived: bool = False


@dataclass(frozen=True, slots=True)
class VisitFacts:
    """The visit asked about.

    planned: false is a look at the calendar; nobody is put forward yet, so heads, hours, notice, dogs and
    vehicles are not asked for (what is given is still judged). dogs: None is not known. decided_at: now.
    """

    on: date
    planned: bool = True
    starts_at: time | None = None
    ends_at: time | None = None
    heads: int | None = None
    people: tuple[PersonFacts, ...] = ()
    vehicles: int | None = None
    dogs: bool | None = False
    decided_at: datetime | None = None
    notices: tuple[NoticeFacts, ...] = ()
