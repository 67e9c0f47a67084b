"""Rows as the plain facts of the gate. No query of its own: what it reads was loaded by permissions/gate_facts.py."""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import Any

from django.utils.translation import gettext as _

from law.model import Effect
from law.pack import pack_codes
from law.retold import retold
from law.search import SearchAnswer
from law.together import search_answers_for
from law.tri import Tri
from people.models import User
from permissions import gate
from permissions.agreed import terms_of
from permissions.models import (
    ClosedPeriod,
    Consent,
    FieldState,
    Licence,
    Permission,
    ProtectedLayer,
    Site,
    SiteParty,
)
from permissions.models.ground import ProtectedCheck
from permissions.place import place_of
from permissions.protected import layers_checked_on
from tongue import noop

NAMELESS = noop("a landholder")  # stands in where the reader may not see who it is


def permission_facts(
    permission: Permission, *, currency: str, sites: frozenset[str] | None = None
) -> gate.PermissionFacts:
    """The agreement as the gate judges it. `sites` None means that the caller knows it covers the site."""
    return gate.PermissionFacts(
        key=f"permission:{permission.pk}",
        state=gate.PermissionState(permission.state),
        name=_("permission %(reference)s") % {"reference": permission.reference},
        starts=permission.starts,
        ends=permission.ends,
        consents=tuple(consent_facts(c) for c in permission.consents.all()),
        terms=terms_of(permission, currency=currency),
        sites=sites,
    )


def overlap_facts(
    permission: Permission, *, currency: str, via: str = "", shared_m2: float | None = None
) -> gate.OverlapFacts:
    """Another agreement over the same ground; whose consent it has does not matter here."""
    facts = gate.PermissionFacts(
        key=f"permission:{permission.pk}",
        state=gate.PermissionState(permission.state),
        name=_("permission %(reference)s") % {"reference": permission.reference},
        starts=permission.starts,
        ends=permission.ends,
        terms=terms_of(permission, currency=currency),
    )
    return gate.OverlapFacts(facts, via, shared_m2)


def consent_facts(consent: Consent) -> gate.ConsentFacts:
    sites = frozenset(f"site:{s.pk}" for s in consent.sites.all())
    return gate.ConsentFacts(
        key=f"consent:{consent.pk}",
        landholder=f"landholder:{consent.landholder_id}",
        capacity=gate.Capacity(consent.capacity),
        given_on=consent.given_on,
        starts=consent.starts,
        ends=consent.ends,
        sites=sites or None,
        evidence=consent.evidence_kind != Consent.Evidence.VERBAL,
        withdrawn_on=consent.withdrawn_on,
    )


def site_facts(
    site: Site,
    *,
    names: bool,
    on: date,
    overlaps: Iterable[gate.OverlapFacts],
    distance_km: float | None,
    layers: Sequence[ProtectedLayer] = (),
) -> gate.SiteFacts:
    """All about the ground. `names` False hides who the landholders are; `layers` count as the yearly check."""
    checks = list(site.protected_checks.all())
    looked = [checks[0].checked_on] if checks else []
    by_layers = layers_checked_on(layers, site)
    known = site.jurisdiction in pack_codes()
    return gate.SiteFacts(
        key=f"site:{site.pk}",
        name=site.name,
        jurisdiction=site.jurisdiction if known else "",
        tenure=gate.Tenure(site.tenure),
        parties=tuple(_party(p, names=names) for p in site.parties.all()),
        no_go_share=site.no_go_share,
        protected=(*(_protected(site, checks[0]) if checks else ()), *_near(site, on)),
        protected_checked_on=max([*looked, *([by_layers] if by_layers else [])], default=None),
        field_states=tuple(_field_state(state, names=names) for state in site.field_states.all()),
        closed_periods=tuple(_closed(period) for period in site.closed_periods.all()),
        licences=_licences(site, on) if known else (),
        overlaps=tuple(overlaps),
        distance_from_club_km=distance_km,
        retired_on=site.retired_on,
        successors=tuple(str(s.after) for s in site.successors.all()),
    )


def _field_state(state: FieldState, *, names: bool) -> gate.FieldStateFacts:
    return gate.FieldStateFacts(
        f"field_state:{state.pk}",
        state.on,
        state.crop,
        state.stage,
        gate.Answer(state.effect),
        state.livestock,
        state.said_by if names else "",
    )


def _closed(period: ClosedPeriod) -> gate.ClosedPeriodFacts:
    return gate.ClosedPeriodFacts(
        f"closed_period:{period.pk}",
        period.reason,
        "",
        period.starts,
        period.ends,
        period.yearly,
        gate.Answer(period.effect),
    )


def _party(party: SiteParty, *, names: bool) -> gate.PartyFacts:
    return gate.PartyFacts(
        landholder=f"landholder:{party.landholder_id}",
        name=party.landholder.name if names else _(NAMELESS),
        capacity=gate.Capacity(party.capacity),
        key=f"party:{party.pk}",
        acts_for=f"landholder:{party.acts_for_id}" if party.acts_for_id else None,
        has_authority=bool(party.authority),
        since=party.since,
        until=party.until,
    )


def _periods(licences: Iterable[Licence], codes: frozenset[str]) -> tuple[gate.Period, ...]:
    return tuple(gate.Period(x.starts, x.ends, f"licence:{x.pk}") for x in licences if x.code in codes)


def _protected(site: Site, check: ProtectedCheck) -> tuple[gate.ProtectedFacts, ...]:
    """What the latest check found; an older one no longer speaks."""
    if check.result == ProtectedCheck.Result.CLEAR:
        return ()
    touches = check.result == ProtectedCheck.Result.TOUCHES
    codes = protected_licences(site.jurisdiction, check.checked_on, site.land_status)
    return (
        gate.ProtectedFacts(
            key=f"protected_check:{check.pk}",
            name=check.place or _("a protected place"),
            kind="",
            relation=gate.Relation.TOUCHES if touches else gate.Relation.IN_BUFFER,
            lifted_by=_periods(site.licences.all(), codes),
        ),
    )


def _near(site: Site, on: date) -> tuple[gate.ProtectedFacts, ...]:
    """What the layers of protected places show, worked out when the boundary or a layer changed."""
    rows = list(site.protected_near.all())
    if not rows:
        return ()
    lifted = _periods(site.licences.all(), protected_licences(site.jurisdiction, on, site.land_status))
    return tuple(
        gate.ProtectedFacts(
            key=f"protected_place:{row.place_id}",
            name=str(row.place),
            kind=row.place.layer.kind,
            relation=gate.Relation(row.relation),
            lifted_by=lifted,
        )
        for row in rows
    )


def _licences(site: Site, on: date) -> tuple[gate.LicenceFacts, ...]:
    held = list(site.licences.all())
    return tuple(
        gate.LicenceFacts(f"law:{code}", lifted_by, retold(words), _periods(held, frozenset({lifted_by})))
        for code, lifted_by, words in needed_everywhere(site.jurisdiction, on, site.land_status)
    )


@lru_cache(maxsize=512)
def needed_everywhere(jurisdiction: str, on: date, land_status: str) -> tuple[tuple[str, str, str], ...]:
    """(pack and rule, licence that lifts it, words) of what the place's laws certainly shut on such land that day."""
    place = place_of(on, land_status)
    answers = search_answers_for(jurisdiction, place)
    return tuple((_rule(a), a.lifted_by, a.words) for a in answers if a.certain and a.effect is Effect.SHUT)


@lru_cache(maxsize=512)
def protected_licences(jurisdiction: str, on: date, land_status: str) -> frozenset[str]:
    """The licences that lift a protected place's own bar: what the law adds when the place is protected."""
    if jurisdiction not in pack_codes():
        return frozenset()
    place = place_of(on, land_status, protected_place=Tri.YES, distance_m=0)
    answers = search_answers_for(jurisdiction, place)
    everywhere = {code for code, _, _ in needed_everywhere(jurisdiction, on, land_status)}
    return frozenset(a.lifted_by for a in answers if a.certain and a.lifted_by and _rule(a) not in everywhere)


def _rule(answer: SearchAnswer) -> str:
    """The rule by name; two packs of one place may use the same code."""
    return f"{answer.pack}:{answer.code}"


def person_facts(person: User, *, named_in: frozenset[str]) -> gate.PersonFacts:
    """One person with the cards on record."""
    return gate.PersonFacts(
        key=f"person:{person.pk}",
        name=person.name,
        memberships=tuple(
            gate.Period(m.starts, m.ends, f"membership:{m.pk}") for m in person.memberships.all()
        ),
        insurance=tuple(_cover(row) for row in person.insurances.all()),
        named_in=named_in,
    )


def _cover(row: Any) -> gate.Cover:
    return gate.Cover(row.starts, row.ends, f"insurance:{row.pk}", Decimal(row.cover_pounds))
