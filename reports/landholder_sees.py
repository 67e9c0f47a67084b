"""What each capacity lets a landholder read and do on their page: one table, pure.

Owner and the owner's agent: everything. An occupier (tenant): visits, ground covered, holes, crops and finds, and money
only where they are asked to sign. A sporting tenant: visits and holes. Who is only informed: the days and hours.
Common practice: facts/trade.md 1.1 says who decides and who is told.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

from permissions.terms.model import Capacity


@dataclass(frozen=True, slots=True)
class Sees:
    """Days and hours are for everybody with a say; the rest is by capacity."""

    people: bool = False  # who leads, and how many come
    holes: bool = False
    ground: bool = False  # the map and the share that was covered
    crops: bool = False  # damage, gates, stock
    finds: bool = False  # and who has them now, and what is reported
    decides: bool = False  # pause, invite

    def __or__(self, other: Sees) -> Sees:
        return Sees(*(getattr(self, f.name) or getattr(other, f.name) for f in fields(self)))


DATES_ONLY = Sees()
ALL = Sees(*(True for _ in fields(Sees)))
TABLE: dict[Capacity, Sees] = {
    Capacity.OWNER: ALL,
    Capacity.OCCUPIER: ALL,
    Capacity.SPORTING_TENANT: Sees(people=True, holes=True),
    Capacity.INFORMED_ONLY: DATES_ONLY,
}
"""An agent sees what the landholder sees for whom they act (reports/landholder_scope.py). A settlement that somebody is
no party to is never made out to them (reports/papers.py)."""
