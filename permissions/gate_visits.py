"""The gate asked about many visits, each with its own day and permission, in a fixed number of queries."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from django.db.models import Prefetch
from django.utils.timezone import localtime

from people.models import Club
from permissions import gate
from permissions.facts_of import permission_facts, site_facts
from permissions.gate_facts import decide, distances_of, load_land, notices_of, overlaps_of, with_facts
from permissions.models import Consent, Permission, ProtectedLayer, Site

_ABOUT_CONSENT = frozenset(c for c in gate.ReasonCode if c.value.startswith(("consent_", "agent_")))


@dataclass(frozen=True, slots=True)
class Visit:
    """A planned visit as the gate judges it; times are club wall clock."""

    sites: tuple[int, ...]
    permission: int
    on: date
    starts_at: time
    ends_at: time
    heads: int
    told_at: datetime | None = None


def decisions_for(visits: Sequence[Visit], *, at: datetime) -> list[dict[int, gate.Decision]]:
    """For each visit the decision at `at` for each of its sites by primary key; no landholder is named.

    The same answers as `permissions.gate_facts.answers_for` visit by visit; about 18 queries however many there are.
    """
    club = Club.objects.filter(pk=1).first()
    currency = club.currency if club else "GBP"
    sites = {s.pk: s for s in with_facts().filter(pk__in={pk for visit in visits for pk in visit.sites})}
    kms = distances_of(list(sites.values()), club)
    layers = list(ProtectedLayer.objects.filter(is_check=True))
    bare = Prefetch("sites", Site.objects.only("pk"))
    asked = Permission.objects.prefetch_related(
        bare, Prefetch("consents", Consent.objects.prefetch_related(bare))
    ).in_bulk({visit.permission for visit in visits})
    return [
        {
            pk: _decided(visit, sites[pk], asked[visit.permission], currency, kms.get(pk), layers, at)
            for pk in visit.sites
        }
        for visit in visits
    ]


def _decided(
    visit: Visit,
    site: Site,
    permission: Permission,
    currency: str,
    km: float | None,
    layers: Sequence[ProtectedLayer],
    at: datetime,
) -> gate.Decision:
    overlaps = overlaps_of(site, visit.on, currency, permission)
    facts = site_facts(site, names=False, on=visit.on, overlaps=overlaps, distance_km=km, layers=layers)
    covered = frozenset(f"site:{s.pk}" for s in permission.sites.all())
    visiting = gate.VisitFacts(
        on=visit.on,
        planned=True,
        starts_at=visit.starts_at,
        ends_at=visit.ends_at,
        heads=visit.heads,
        decided_at=localtime(at),
        notices=notices_of(facts, localtime(visit.told_at) if visit.told_at else None),
    )
    return decide(facts, (permission_facts(permission, currency=currency, sites=covered),), visiting)


def consents_complete(permission: Permission, on: date) -> bool:
    """Is every consent needed on `on` there, for each of the permission's sites? The gate asks about tenure itself."""
    land = load_land(permission.sites.all(), on, permission=permission)
    look = gate.VisitFacts(on=on, planned=False)
    return bool(land.sites) and all(
        gate.required_parties(site, on)
        and not any(r.code in _ABOUT_CONSENT for r in gate.gate(site, land.agreements[pk][0], look).reasons)
        for pk, site in land.sites.items()
    )
