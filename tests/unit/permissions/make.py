"""Makers of gate facts: a plain open case, and one word for each thing that may differ."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from permissions.gate import (
    Answer,
    Capacity,
    ConsentFacts,
    Cover,
    FieldStateFacts,
    PartyFacts,
    Period,
    PermissionFacts,
    PermissionState,
    PersonFacts,
    SiteFacts,
    Tenure,
    VisitFacts,
)

# A Sunday after harvest, before the partridge and pheasant seasons (facts/trade.md 1.5).
DAY = date(2026, 8, 30)
NOW = datetime(2026, 8, 20, 18, 0)

OWNER = PartyFacts("landholder:1", "Ada Holm", Capacity.OWNER, "party:1")
OCCUPIER = PartyFacts("landholder:2", "Bert Storr", Capacity.OCCUPIER, "party:2")
AGENT = PartyFacts(
    "landholder:3", "Cora Withow", Capacity.AGENT, "party:3", "landholder:1", has_authority=True
)
SHOOT = PartyFacts("landholder:4", "Dan Auburn", Capacity.SPORTING_TENANT, "party:4")
GRAZIER = PartyFacts("landholder:5", "Eve Cleeton", Capacity.INFORMED_ONLY, "party:5")
STUBBLE = FieldStateFacts(
    "state:1", date(2026, 8, 20), "winter wheat", "stubble", Answer.OPEN, said_by="Ada Holm"
)
YEAR = Period(date(2026, 1, 1), date(2026, 12, 31), "membership:1")
COVER = Cover(date(2026, 4, 1), date(2027, 3, 31), "insurance:1", Decimal(10_000_000))


def consent(number: int = 1, who: PartyFacts = OWNER, **given: Any) -> ConsentFacts:
    facts: dict[str, Any] = {
        "capacity": who.capacity,
        "given_on": date(2026, 1, 10),
        "ends": date(2027, 1, 9),
    }
    return ConsentFacts(f"consent:{number}", who.landholder, **{**facts, **given})


def site(**given: Any) -> SiteFacts:
    facts: dict[str, Any] = {
        "name": "Ten Acre",
        "jurisdiction": "england",
        "tenure": Tenure.OWNER_OCCUPIED,
        "parties": (OWNER,),
        "protected_checked_on": date(2026, 2, 1),
        "field_states": (STUBBLE,),
    }
    return SiteFacts("site:1", **{**facts, **given})


def permission(**given: Any) -> PermissionFacts:
    facts: dict[str, Any] = {
        "state": PermissionState.GRANTED,
        "name": "the Holm Farm permission",
        "starts": date(2026, 1, 10),
        "ends": date(2027, 1, 9),
        "consents": (consent(),),
    }
    return PermissionFacts("permission:1", **{**facts, **given})


def person(number: int = 1, **given: Any) -> PersonFacts:
    facts: dict[str, Any] = {"name": f"Member {number}", "memberships": (YEAR,), "insurance": (COVER,)}
    return PersonFacts(f"person:{number}", **{**facts, **given})


def visit(on: date = DAY, **given: Any) -> VisitFacts:
    return VisitFacts(on, **{"decided_at": NOW, **given})


@dataclass(frozen=True)
class WorkedCase:
    """What somebody on a farm would say, the facts it comes to, and the answer with its reasons in order."""

    said: str
    answer: str
    codes: tuple[str, ...]
    site: SiteFacts
    permission: PermissionFacts | None
    visit: VisitFacts


def case(said: str, answer: str, *codes: str, **facts: Any) -> WorkedCase:
    """Facts may be given as `site=`, `permission=`, `visit=`; what is not given is plain and open."""
    given = {"site": site(), "permission": permission(), "visit": visit(), **facts}
    return WorkedCase(said, answer, codes, **given)


def on(day: date, *states: FieldStateFacts, **given: Any) -> dict[str, Any]:
    """The plain case on another day, with the field reported as stubble the day before."""
    fresh = replace(STUBBLE, on=day - timedelta(days=1))
    return {"visit": visit(day), "site": site(field_states=states or (fresh,), **given)}
