"""The gate asked for many sites and days at once, with a number of queries that does not grow with either."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time

from django.db.models import Prefetch
from django.utils.timezone import localtime

from geo.measure import GEOD
from people.models import Club, User
from permissions import gate
from permissions.facts_of import overlap_facts, permission_facts, person_facts, site_facts
from permissions.models import (
    Consent,
    Permission,
    ProtectedLayer,
    ProtectedNear,
    Site,
    SiteOverlap,
    SiteParty,
    Succession,
)
from permissions.models.permission import PermissionQuerySet
from permissions.models.site import SiteQuerySet
from permissions.states import State

_SPENT = frozenset({State.ENDED, State.DRAFT, State.ASKED})
_STANDING = {
    s: n
    for n, s in enumerate(
        (State.PAUSED, State.GRANTED, State.ASKED, State.DRAFT, State.REFUSED, State.ENDED), 1
    )
}


@dataclass(frozen=True)
class LandFacts:
    """The facts of some sites. `agreements` holds for each site key the permissions that may open it."""

    sites: Mapping[int, gate.SiteFacts]
    agreements: Mapping[int, tuple[gate.PermissionFacts, ...]]
    people: tuple[gate.PersonFacts, ...] = field(default=())


def answers_for(
    sites: Iterable[Site],
    on: date,
    *,
    people: Iterable[User] = (),
    guests: Iterable[gate.PersonFacts] = (),
    heads: int | None = None,
    starts_at: time | None = None,
    ends_at: time | None = None,
    vehicles: int | None = None,
    dogs: bool | None = False,
    decided_at: datetime | None = None,
    told_at: datetime | None = None,
    permission: Permission | None = None,
    names: bool = False,
) -> dict[int, gate.Decision]:
    """Return the gate's decision for each site by primary key.

    A visit is planned once it has people or hours; without either it is a look at the calendar. `permission` asks
    about that one only; otherwise the site's most favourable one answers. `guests`: people without an account.
    `told_at`: when the landholders were told of the visit. `names` True names the landholders in the reasons: only
    for readers who may see them.
    """
    land = load_land(sites, on, people=people, permission=permission, names=names)
    local_told = localtime(told_at) if told_at else None
    everybody = (*land.people, *guests)
    return {
        pk: decide(
            site,
            land.agreements[pk],
            gate.VisitFacts(
                on=on,
                planned=bool(everybody or starts_at or ends_at),
                starts_at=starts_at,
                ends_at=ends_at,
                heads=heads,
                people=everybody,
                vehicles=vehicles,
                dogs=dogs,
                decided_at=localtime(decided_at) if decided_at else None,
                notices=notices_of(site, local_told),
            ),
        )
        for pk, site in land.sites.items()
    }


def years_for(
    sites: Iterable[Site], first: date, last: date, *, heads: int | None = None, names: bool = False
) -> dict[int, tuple[gate.Decision, ...]]:
    """The decision for every day from `first` to `last`, both included, for each site by primary key."""
    land = load_land(sites, first, names=names)
    visit = gate.VisitFacts(on=first, planned=False, heads=heads)
    return {pk: _year(site, land.agreements[pk], visit, first, last) for pk, site in land.sites.items()}


def decide(
    site: gate.SiteFacts, agreements: tuple[gate.PermissionFacts, ...], visit: gate.VisitFacts
) -> gate.Decision:
    """The most favourable agreement answers; among equals the one that stands best, so its reasons are shown."""
    if not agreements:
        return gate.gate(site, None, visit)
    asked = [(gate.gate(site, p, visit), p) for p in agreements]
    return min(asked, key=lambda pair: _favour(*pair))[0]


def _favour(decision: gate.Decision, agreement: gate.PermissionFacts) -> tuple[int, int, str]:
    standing = 0 if gate.permission_in_force(agreement, decision.on) else _STANDING[State(agreement.state)]
    return decision.answer.severity, standing, agreement.key


def _year(
    site: gate.SiteFacts,
    agreements: tuple[gate.PermissionFacts, ...],
    visit: gate.VisitFacts,
    first: date,
    last: date,
) -> tuple[gate.Decision, ...]:
    if not agreements:
        return gate.year_of(site, None, visit, first, last)
    years = [gate.year_of(site, p, visit, first, last) for p in agreements]
    if len(years) == 1:
        return years[0]
    return tuple(
        min(zip(day, agreements, strict=True), key=lambda pair: _favour(*pair))[0]
        for day in zip(*years, strict=True)
    )


def load_land(
    sites: Iterable[Site],
    on: date,
    *,
    people: Iterable[User] = (),
    permission: Permission | None = None,
    names: bool = False,
) -> LandFacts:
    """Read everything the gate needs to know of `sites`; about 15 queries however many there are."""
    club = Club.objects.only("currency", "base_lon", "base_lat").filter(pk=1).first()  # its map is large
    currency = club.currency if club else "GBP"
    rows = list(with_facts().filter(pk__in=[site.pk for site in sites]))
    kms = distances_of(rows, club)
    layers = list(ProtectedLayer.objects.filter(is_check=True))
    asked = None if permission is None else _asked(permission, rows, currency)
    facts = {
        site.pk: site_facts(
            site,
            names=names,
            on=on,
            overlaps=overlaps_of(site, on, currency, permission),
            distance_km=kms.get(site.pk),
            layers=layers,
        )
        for site in rows
    }
    agreements = {site.pk: (asked,) if asked else _agreements(site, currency) for site in rows}
    return LandFacts(facts, agreements, _people(people))


def with_overlaps() -> "Prefetch[str]":
    """The sites that share ground with each of some sites, with the permissions that have a say there."""
    rows = SiteOverlap.objects.select_related("other").defer("other__boundary")
    return Prefetch("overlaps", rows.prefetch_related("other__permissions"))


def with_facts() -> SiteQuerySet:
    near = ProtectedNear.objects.select_related("place__layer").defer("place__geometry")
    return Site.objects.defer("boundary").prefetch_related(
        Prefetch("parties", SiteParty.objects.select_related("landholder")),
        "field_states",
        "closed_periods",
        "protected_checks",
        "licences",
        Prefetch("permissions", _with_consents()),
        with_overlaps(),
        Prefetch("protected_near", near),
        Prefetch("successors", Succession.objects.select_related("after").defer("after__boundary")),
    )


def _asked(permission: Permission, sites: Iterable[Site], currency: str) -> gate.PermissionFacts:
    """The one permission asked about, with the sites that it covers. Most often `sites` brought it along."""
    brought = (p for site in sites for p in site.permissions.all() if p.pk == permission.pk)
    row = next(brought, None) or _with_consents().get(pk=permission.pk)
    covers = row.sites.order_by().values_list("pk", flat=True)
    return permission_facts(row, currency=currency, sites=frozenset(f"site:{pk}" for pk in covers))


def _with_consents() -> PermissionQuerySet:
    consents = Consent.objects.prefetch_related(Prefetch("sites", Site.objects.only("pk")))
    return Permission.objects.prefetch_related(Prefetch("consents", consents))


def _agreements(site: Site, currency: str) -> tuple[gate.PermissionFacts, ...]:
    return tuple(permission_facts(p, currency=currency) for p in site.permissions.all())


def overlaps_of(site: Site, on: date, currency: str, asked: Permission | None) -> list[gate.OverlapFacts]:
    """Every other permission that still has a say over the ground; the gate itself passes over the one asked about."""
    own = [p for p in site.permissions.all() if asked is None or p.pk != asked.pk]
    standing = max((p.pk for p in own if p.state != State.REFUSED), default=asked.pk if asked else 0)
    found = [overlap_facts(p, currency=currency) for p in own if _has_a_say(p, on, since=standing)]
    for overlap in site.overlaps.all():
        if overlap.other.retired_on is not None and overlap.other.retired_on <= on:
            continue
        found += [
            overlap_facts(p, currency=currency, via=overlap.other.name, shared_m2=overlap.shared_m2)
            for p in overlap.other.permissions.all()
            if _has_a_say(p, on)
        ]
    return found


def _has_a_say(permission: Permission, on: date, since: int = 0) -> bool:
    """Not over, not merely thought of; a refusal counts until somebody has asked again (`since`, a later row)."""
    over = permission.ends is not None and permission.ends < on
    refused_before = permission.state == State.REFUSED and permission.pk < since
    return permission.state not in _SPENT and not over and not refused_before


def notices_of(site: gate.SiteFacts, told_at: datetime | None) -> tuple[gate.NoticeFacts, ...]:
    if told_at is None:
        return ()
    return tuple(gate.NoticeFacts(key, told_at) for key in sorted({p.landholder for p in site.parties}))


def distances_of(sites: list[Site], club: Club | None) -> dict[int, float]:
    """Kilometres from the club's base to each site's middle, where both are known."""
    if club is None or club.base_lon is None or club.base_lat is None:
        return {}
    placed = [s for s in sites if s.min_lon is not None and s.max_lon is not None and s.min_lat is not None]
    if not placed:
        return {}
    lons = [((s.min_lon or 0) + (s.max_lon or 0)) / 2 for s in placed]
    lats = [((s.min_lat or 0) + (s.max_lat or 0)) / 2 for s in placed]
    base_lons, base_lats = [club.base_lon] * len(placed), [club.base_lat] * len(placed)
    metres = GEOD.inv(base_lons, base_lats, lons, lats)[2]
    return {site.pk: float(m) / 1000 for site, m in zip(placed, metres, strict=True)}


def _people(people: Iterable[User]) -> tuple[gate.PersonFacts, ...]:
    keys = [person.pk for person in people]
    if not keys:
        return ()
    rows = list(User.objects.only("name").filter(pk__in=keys).prefetch_related("memberships", "insurances"))
    named = named_in(keys)
    return tuple(person_facts(p, named_in=frozenset(named.get(p.pk, set()))) for p in rows)


def named_in(people: Iterable[int]) -> dict[int, set[str]]:
    """The permissions that name each of these people, as the gate's keys."""
    named: dict[int, set[str]] = {}
    links = Permission.named_people.through.objects.filter(user_id__in=list(people)).values_list(
        "user_id", "permission_id"
    )
    for user_id, permission_id in links:
        named.setdefault(user_id, set()).add(f"permission:{permission_id}")
    return named
