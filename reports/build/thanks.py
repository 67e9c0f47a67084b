"""Whom the club has to thank for a season, and what for."""

from dataclasses import dataclass, field

from django.utils.translation import ngettext as _n

from finds.forms.filters import season_days
from hunts.models import HuntSite
from hunts.states import HuntState
from permissions.models import Landholder, SiteParty
from reports.build.common import WITH_A_SAY
from reports.models import Thanks


@dataclass
class Owed:
    """One landholder to thank: which visits, to which fields, and with what they were thanked already."""

    landholder: Landholder
    hunts: set[int] = field(default_factory=set)
    fields: set[str] = field(default_factory=set)
    thanks: Thanks | None = None

    @property
    def what_for(self) -> str:
        count = len(self.hunts)
        return _n("%(count)s visit to %(fields)s", "%(count)s visits to %(fields)s", count) % {
            "count": count,
            "fields": ", ".join(sorted(self.fields)),
        }


def to_thank(year: int) -> list[Owed]:
    """Owners, occupiers and agents of the land of every closed hunt of the season, by name; three queries."""
    work = HuntSite.objects.filter(hunt__on__range=season_days(year), hunt__state=HuntState.CLOSED)
    visits = list(work.select_related("hunt", "site"))
    parties = SiteParty.objects.filter(
        site__in={visit.site_id for visit in visits}, capacity__in=WITH_A_SAY
    ).select_related("landholder")
    by_site: dict[int, list[SiteParty]] = {}
    for party in parties:
        by_site.setdefault(party.site_id, []).append(party)
    owed: dict[int, Owed] = {}
    for visit in visits:
        for party in by_site.get(visit.site_id, []):
            if party.has_say_on(visit.hunt.on):
                row = owed.setdefault(party.landholder_id, Owed(party.landholder))
                row.hunts.add(visit.hunt_id)
                row.fields.add(visit.site.name)
    for thanks in Thanks.objects.filter(year=year, landholder__in=owed):
        owed[thanks.landholder_id].thanks = thanks
    return sorted(owed.values(), key=lambda row: (row.landholder.name, row.landholder.pk))
