"""On which land a landholder has or had a say, on which days, and what their capacity there lets them see."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from permissions.models import Landholder, SiteParty
from permissions.models.site import Capacity as Party
from permissions.terms.model import Capacity
from reports.landholder_sees import DATES_ONLY, TABLE, Sees

SiteId = int


@dataclass(frozen=True)
class Scope:
    """`own` are the landholder's parties by site, `principals` those of the landholders for whom they are the agent."""

    landholder: Landholder
    own: dict[SiteId, list[SiteParty]]
    principals: dict[tuple[int, SiteId], list[SiteParty]]

    @property
    def sites(self) -> list[SiteId]:
        """Every site where they ever had a say."""
        return list(self.own)

    def sees(self, site: SiteId, day: date) -> Sees | None:
        """What they may see of that site as of `day`; None where they had no say then."""
        held = [party for party in self.own.get(site, []) if party.has_say_on(day)]
        if not held:
            return None
        seen = DATES_ONLY
        for party in held:
            seen |= self._of(party, day)
        return seen

    def _of(self, party: SiteParty, day: date) -> Sees:
        if party.capacity != Party.AGENT:
            return TABLE[Capacity(party.capacity)]
        # An agent whose principal is not named, or has no say any more, acts for nobody.
        seen = DATES_ONLY
        for theirs in self.principals.get((party.acts_for_id or 0, party.site_id), []):
            if theirs.has_say_on(day) and theirs.capacity != Party.AGENT:
                seen |= TABLE[Capacity(theirs.capacity)]
        return seen

    def today(self, on: date) -> dict[SiteId, Sees]:
        """The sites where they have a say on that day."""
        rows = ((site, self.sees(site, on)) for site in self.own)
        return {site: seen for site, seen in rows if seen is not None}


def scope_of(landholder: Landholder) -> Scope:
    """Two queries, however much land it is."""
    own: dict[SiteId, list[SiteParty]] = defaultdict(list)
    for party in SiteParty.objects.filter(landholder=landholder).order_by("site__code", "pk"):
        own[party.site_id].append(party)
    named = {p.acts_for_id for rows in own.values() for p in rows if p.acts_for_id}
    principals: dict[tuple[int, SiteId], list[SiteParty]] = defaultdict(list)
    for party in SiteParty.objects.filter(landholder__in=named, site__in=list(own)):
        principals[party.landholder_id, party.site_id].append(party)
    return Scope(landholder, dict(own), dict(principals))
