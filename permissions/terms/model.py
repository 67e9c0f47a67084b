"""What a landholder and a club can agree, as frozen values; `None` means "not limited by the agreement"."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import time
from decimal import Decimal
from enum import StrEnum


class Capacity(StrEnum):
    """In what capacity a landholder speaks. Source: facts/trade.md 1.1."""

    OWNER = "owner"
    OCCUPIER = "occupier"
    AGENT = "agent"
    SPORTING_TENANT = "sporting_tenant"
    INFORMED_ONLY = "informed_only"


class WhoMay(StrEnum):
    ANY_MEMBER = "any_member"
    NAMED_ONLY = "named_only"


class LivestockRule(StrEnum):
    """May people search while animals are in the field? Loosest first."""

    ALLOWED = "allowed"
    ASK_FIRST = "ask_first"
    NOT_WITH = "not_with"


class DogRule(StrEnum):
    ALLOWED = "allowed"
    ON_LEAD = "on_lead"
    NONE = "none"


class Threshold(StrEnum):
    """Both wordings exist in real agreements and differ at the amount itself. Source: facts/trade.md E13."""

    OVER = "over"
    AT_LEAST = "at_least"


class Whole(StrEnum):
    """Once the threshold is reached, is the whole value shared or only what exceeds it?"""

    WHOLE_VALUE = "whole_value"
    EXCESS_ONLY = "excess_only"


class Per(StrEnum):
    """What the threshold is measured on."""

    OBJECT = "object"
    GROUP = "group"
    HUNT = "hunt"


class Findspot(StrEnum):
    """How closely a findspot may be shown, finest first. Source: facts/trade.md 7.5."""

    FULL = "full"
    SQUARE_100_M = "100m"
    SQUARE_1_KM = "1km"
    PARISH = "parish"
    WITHHELD = "withheld"


class Photographs(StrEnum):
    """What may be published from the visit, loosest first."""

    FREE = "free"
    NO_PLACES = "no_places"
    ASK_FIRST = "ask_first"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Sharing:
    """How the value of finds is shared. Percentages are 0 to 100.

    `organiser_percent` comes off the value before the rest is shared. Source: facts/trade.md 1.3 and E13
    (50/50 above 500 pounds is the most usual; common practice, not law).
    """

    landholder_percent: Decimal = Decimal(50)
    threshold: Decimal = Decimal(500)
    wording: Threshold = Threshold.OVER
    rule: Whole = Whole.WHOLE_VALUE
    per: Per = Per.OBJECT
    organiser_percent: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class Terms:
    """The limits and promises of one permission.

    weekdays: 0 Monday to 6 Sunday, as `date.weekday()`. hours: club wall clock. depth_limit_cm: centimetres.
    notice_hours: before the start, to every landholder whose capacity is in `notice_to`.
    insurance_floor and fee_per_head: whole units and cents of `currency` (ISO 4217).
    """

    weekdays: frozenset[int] | None = None
    hours_from: time | None = None
    hours_to: time | None = None
    max_heads: int | None = None
    who: WhoMay = WhoMay.ANY_MEMBER
    guests: bool = True
    juniors: bool = True
    minimum_age: int | None = None
    notice_hours: int | None = None
    notice_to: frozenset[Capacity] = frozenset({Capacity.OWNER, Capacity.OCCUPIER})
    max_vehicles: int | None = None
    depth_limit_cm: int | None = None
    livestock: LivestockRule = LivestockRule.ASK_FIRST
    livestock_note: str = ""
    dogs: DogRule = DogRule.NONE
    fee_per_head: Decimal = Decimal(0)
    currency: str = "GBP"
    sharing: Sharing = field(default_factory=Sharing)
    findspot_landholder: Findspot = Findspot.FULL
    findspot_members: Findspot = Findspot.SQUARE_1_KM
    findspot_public: Findspot = Findspot.WITHHELD
    photographs: Photographs = Photographs.NO_PLACES
    insurance_floor: Decimal | None = None
    termination_days: int | None = None

    def stricter(self, other: Terms) -> Terms:
        """Terms that satisfy both: the stricter of each pair."""
        from permissions.terms.compare import stricter

        return stricter(self, other)
