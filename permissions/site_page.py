"""What the page of one site shows, as far as the reader may see it."""

from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from law.pack import pack_codes
from law.retold import all_retold
from law.search import SearchAnswer
from law.together import search_answers_for
from people.models import User
from people.rights import Right
from permissions.gate import Decision
from permissions.gate_facts import answers_for
from permissions.gate_ways import reasons_by_site
from permissions.maps import background, one_site_on_map, protected_feature
from permissions.models import Boundary, NoGoArea, ProtectedNear, Site, SiteOverlap, SiteParty
from permissions.place import place_of, tells_lands_apart
from tongue import figure

LAST_STATES = 8


def site_context(site: Site, user: User, *, on: date) -> dict[str, Any]:
    """Ground and way in for everybody; the gate and its records for those who plan; names for those who keep them."""
    no_go = list(site.no_go.all())
    near = list(site.protected_near.select_related("place__layer"))
    sees_all, names = user.holds(Right.SEE_ALL_LAND), user.holds(Right.SEE_LANDHOLDERS)
    decision = answers_for([site], on, names=names)[site.pk] if sees_all else None
    context: dict[str, Any] = {
        "site": site,
        "land_told": tells_lands_apart(site.jurisdiction),
        "no_go": no_go,
        "near": near,
        "layers": {"sites": _on_map(site, no_go, near, decision), "ground": background()},
        "decision": decision,
        "reasons": reasons_by_site([site], {site.pk: decision}, user)[site.pk] if decision else [],
        "on": on,
        "may_see_gate": sees_all,
        "may_manage": user.holds(Right.MANAGE_LAND),
        "may_cut": user.holds(Right.MANAGE_LAND) and site.retired_on is None and bool(site.boundary),
        "may_keep": user.holds(Right.MANAGE_PERMISSIONS),
        "may_see_landholders": names,
    }
    return context | (_records(site, names=names, on=on) if sees_all else {})


def _on_map(
    site: Site, no_go: list[NoGoArea], near: list[ProtectedNear], decision: Decision | None
) -> dict[str, Any]:
    features = one_site_on_map(site, no_go, decision)
    features["features"] += [protected_feature(row.place.geometry, str(row.place)) for row in near]
    return features


def _records(site: Site, *, names: bool, on: date) -> dict[str, Any]:
    overlaps = SiteOverlap.objects.filter(site=site).select_related("other").defer("other__boundary")
    parties = SiteParty.objects.filter(site=site).select_related("landholder", "acts_for")
    return {
        "after": list(site.successors.select_related("after").defer("after__boundary")),
        "before": list(site.forerunners.select_related("before").defer("before__boundary")),
        "states": list(site.field_states.all()[:LAST_STATES]),
        "periods": list(site.closed_periods.all()),
        "checks": list(site.protected_checks.select_related("checked_by")[:LAST_STATES]),
        "licences": list(site.licences.all()),
        "permissions": list(site.permissions.all()),
        "overlaps": list(overlaps),
        "boundaries": list(Boundary.objects.filter(site=site).select_related("drawn_by").defer("geometry")),
        "parties": list(parties) if names else [],
        "law": law_of(site, on),
    }


def law_of(site: Site, on: date) -> tuple[SearchAnswer, ...]:
    """What the law of the place asks of anybody who searches there; empty where it is not known here."""
    if site.jurisdiction not in pack_codes():
        return ()
    return all_retold(search_answers_for(site.jurisdiction, place_of(on, site.land_status)))


def overlap_words(site: Site) -> list[str]:
    """Which other sites share ground with this one, and how much: whose permission covers it must be settled."""
    overlaps = SiteOverlap.objects.filter(site=site).select_related("other").defer("other__boundary")
    return [
        _("It shares %(value)s ha with %(overlap_other)s: check which line is right.")
        % {"value": figure(f"{overlap.shared_m2 / 10000:.2f}"), "overlap_other": overlap.other}
        for overlap in overlaps
    ]
