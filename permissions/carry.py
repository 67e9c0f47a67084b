"""What the sites that come out of a split or a merge take over, and what they do not, in words.

The rule: nothing may open the gate that did not open it before. A permission, consent or licence goes on only over
ground that it covered whole; whoever had a say over part keeps a say; what differs between merged sites is not known.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, TypeVar

from django.db.models import Prefetch
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n

from geo.measure import buffered, to_shape
from permissions.models import (
    ClosedPeriod,
    Consent,
    FieldState,
    Licence,
    NoGoArea,
    Permission,
    ProtectedCheck,
    Site,
    SiteParty,
)
from permissions.models.site import LandStatus, Said, Tenure
from permissions.states import State
from tongue import all_of

M = TypeVar("M", Permission, Consent, Licence)
_OVER = frozenset({State.ENDED, State.REFUSED})


class CannotCarryError(Exception):
    """The sites cannot become one; the sentence says why."""


@dataclass
class Carry:
    """Everything that goes over to the new sites, and the sentences that say so."""

    columns: dict[str, Any]
    permissions: list[Permission] = field(default_factory=list)
    consents: list[Consent] = field(default_factory=list)
    licences: list[Licence] = field(default_factory=list)
    parties: list[dict[str, Any]] = field(default_factory=list)
    no_go: list[NoGoArea] = field(default_factory=list)
    states: list[dict[str, Any]] = field(default_factory=list)
    periods: list[ClosedPeriod] = field(default_factory=list)
    check: dict[str, Any] | None = None
    words: list[str] = field(default_factory=list)


def carry_from(sites: Sequence[Site], on: date) -> Carry:
    """What one site (split) or several (merged) pass on, on the day `on`. Raises CannotCarryError."""
    carry = Carry(_columns(sites))
    keys = frozenset(site.pk for site in sites)
    _permissions(carry, sites, keys)
    _parties(carry, sites, on)
    carry.no_go = [area for site in sites for area in site.no_go.all()]
    carry.periods = _periods(sites)
    _states(carry, sites)
    _check(carry, sites)
    carry.words += [
        *_kept_areas(len(carry.no_go)),
        *_kept_periods(len(carry.periods)),
        _("Hunts, holes, finds and the ground covered so far stay with what was."),
    ]
    return carry


def _counted(words: str, number: int) -> list[str]:
    return [words % {"count": number}] if number else []


def _kept_areas(number: int) -> list[str]:
    words = _n(
        "%(count)s no-go area is kept where it lies.",
        "%(count)s no-go areas are kept where they lie.",
        number,
    )
    return _counted(words, number)


def _kept_periods(number: int) -> list[str]:
    words = _n("%(count)s closed period counts on.", "%(count)s closed periods count on.", number)
    return _counted(words, number)


def _names(sites: Iterable[Site]) -> str:
    return all_of(site.code for site in sites)


def _columns(sites: Sequence[Site]) -> dict[str, Any]:
    """What is known of the ground. Where merged sites differ it is not known; the gate and the screening ask."""
    laws = {site.jurisdiction for site in sites}
    if len(laws) > 1:
        said = ", ".join(f"{site.code} {site.jurisdiction}" for site in sites)
        raise CannotCarryError(
            _("Different law applies (%(said)s); one site cannot lie under both.") % {"said": said}
        )
    first = sites[0]
    gate = next((s for s in sites if s.gate_lat is not None), first)
    return {
        "jurisdiction": first.jurisdiction,
        "tenure": _same((s.tenure for s in sites), Tenure.UNKNOWN),
        "tidal": _same((s.tidal for s in sites), Said.UNKNOWN),
        "church_land": _same((s.church_land for s in sites), Said.UNKNOWN),
        "land_status": _same((s.land_status for s in sites), LandStatus.UNKNOWN),
        "parish": _same((s.parish for s in sites), ""),
        "holding": _same((s.holding for s in sites), " / ".join(dict.fromkeys(s.holding for s in sites)))[
            :120
        ],
        "land_use": _same((s.land_use for s in sites), ""),
        "postcode": first.postcode,
        "gate_lon": gate.gate_lon,
        "gate_lat": gate.gate_lat,
        "access": _joined((s.code, s.access) for s in sites),
        "hazards": _joined((s.code, s.hazards) for s in sites),
    }


def _same(values: Iterable[str], otherwise: str) -> str:
    found = set(values)
    return found.pop() if len(found) == 1 else otherwise


def _joined(texts: Iterable[tuple[str, str]]) -> str:
    """One text, or each under its site's code."""
    said = [(code, text.strip()) for code, text in texts if text.strip()]
    if len({text for _rest, text in said}) <= 1:
        return said[0][1] if said else ""
    return "\n".join(f"{code}: {text}" for code, text in said)


def _permissions(carry: Carry, sites: Sequence[Site], keys: frozenset[int]) -> None:
    bare = Prefetch("sites", Site.objects.only("pk"))
    touched = Permission.objects.filter(sites__in=sites).distinct()
    living = [p for p in touched.prefetch_related(bare) if p.state not in _OVER]
    carry.permissions = _covering_all(living, keys)
    goes_on = {p.pk for p in carry.permissions}
    carry.words += [
        _("Permission %(p_reference)s goes on over the new ground.") % {"p_reference": p.reference}
        for p in carry.permissions
    ]
    carry.words += [
        _("Permission %(p_reference)s covers only part of it and does not go on: ask for the rest.")
        % {"p_reference": p.reference}
        for p in living
        if p.pk not in goes_on
    ]
    limited = list(
        Consent.objects.filter(sites__in=sites, permission__in=carry.permissions)
        .distinct()
        .prefetch_related(bare)
    )
    carry.consents = _covering_all(limited, keys)
    left = len(limited) - len(carry.consents)
    words = _n(
        "%(count)s consent was given for part of it only: ask again.",
        "%(count)s consents were given for part of it only: ask again.",
        left,
    )
    carry.words += _counted(words, left)
    licences = list(Licence.objects.filter(sites__in=sites).distinct().prefetch_related(bare))
    carry.licences = _covering_all(licences, keys)
    left = len(licences) - len(carry.licences)
    words = _n(
        "%(count)s licence covers part of it only and cannot go on.",
        "%(count)s licences cover part of it only and cannot go on.",
        left,
    )
    carry.words += _counted(words, left)


def _covering_all(rows: Iterable[M], keys: frozenset[int]) -> list[M]:
    """The rows that cover every one of the sites."""
    return [row for row in rows if keys <= {site.pk for site in row.sites.all()}]


def _parties(carry: Carry, sites: Sequence[Site], on: date) -> None:
    """Everybody with a say keeps it, once for each capacity; an agent's authority counts only where it did for all."""
    rows = SiteParty.objects.on(on).filter(site__in=sites).order_by("pk")
    found: dict[tuple[int, str], dict[str, Any]] = {}
    for row in rows:
        key = (row.landholder_id, row.capacity)
        values = {
            "landholder_id": row.landholder_id,
            "capacity": row.capacity,
            "acts_for_id": row.acts_for_id,
            "authority": row.authority,
            "since": row.since,
            "until": row.until,
        }
        known = found.setdefault(key, values)
        if not row.authority or known["acts_for_id"] != row.acts_for_id:
            known["authority"] = ""
        known["until"] = min((d for d in (known["until"], row.until) if d), default=None)
    carry.parties = list(found.values())
    words = _n(
        "%(count)s party keeps its say over all of it.",
        "%(count)s parties keep their say over all of it.",
        len(found),
    )
    carry.words += _counted(words, len(found))


def _periods(sites: Sequence[Site]) -> list[ClosedPeriod]:
    """Every closed period once, though several of the sites had it."""
    rows = [period for site in sites for period in site.closed_periods.all()]
    return list({(p.reason, p.starts, p.ends, p.yearly, p.effect): p for p in rows}.values())


def _states(carry: Carry, sites: Sequence[Site]) -> None:
    """The latest report of each site, all dated as the oldest of them, so that none goes stale later than before."""
    latest = [_latest(site) for site in sites]
    if not all(latest):
        bare = _names(site for site, rows in zip(sites, latest, strict=True) if not rows)
        carry.words.append(
            _("Nobody has reported what is growing on %(bare)s: the gate asks.") % {"bare": bare}
        )
        if len(sites) > 1:
            return
    rows = [row for found in latest for row in found]
    if not rows:
        return
    day = min(row.on for row in rows)
    codes = {site.pk: site.code for site in sites}
    carry.states = [
        {
            "on": day,
            "crop": row.crop,
            "stage": row.stage,
            "livestock": row.livestock,
            "effect": row.effect,
            "cultivated": row.cultivated,
            "said_by": f"{row.said_by} ({codes[row.site_id]}, {date_format(row.on, 'j M Y')})"[:120],
        }
        for row in rows
    ]
    carry.words.append(
        _("The last report of what is growing counts on, as of %(day)s.") % {"day": date_format(day, "j M Y")}
    )


def _latest(site: Site) -> list[FieldState]:
    rows = list(site.field_states.all())
    return [row for row in rows if row.on == rows[0].on]


def _check(carry: Carry, sites: Sequence[Site]) -> None:
    """The worst and oldest of the last checks; none at all where one of the sites was never checked."""
    checks = [site.protected_checks.all()[:1] for site in sites]
    found = [rows[0] for rows in checks if rows]
    if len(found) < len(sites):
        carry.words.append(_("Not all of it has been checked against protected places: the gate asks."))
        return
    results = [ProtectedCheck.Result.CLEAR, ProtectedCheck.Result.BUFFER, ProtectedCheck.Result.TOUCHES]
    worst = max(found, key=lambda check: results.index(ProtectedCheck.Result(check.result)))
    oldest = min(found, key=lambda check: check.checked_on)
    carry.check = {
        "checked_on": oldest.checked_on,
        "checked_by_id": oldest.checked_by_id,
        "result": worst.result,
        "place": worst.place,
        "source": worst.source,
    }
    carry.words.append(
        _("The check against protected places of %(oldest_checked_on)s counts on.")
        % {"oldest_checked_on": date_format(oldest.checked_on, "j M Y")}
    )


def no_go_in(areas: Iterable[NoGoArea], boundary: Any) -> list[NoGoArea]:
    """The no-go areas that reach into a boundary, their margin included."""
    ground = to_shape(boundary)
    return [area for area in areas if to_shape(buffered(area.geometry, area.buffer_m)).intersects(ground)]
