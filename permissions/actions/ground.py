"""Record what the ground says: no-go areas, field states, closed periods, protected places and licences."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID, uuid5

from django.db import models, transaction
from django.http import Http404

from people import audit
from people.models import User
from people.rights import Right, require
from permissions.actions.sites import no_go_share_of
from permissions.models import ClosedPeriod, FieldState, Licence, NoGoArea, ProtectedCheck, Site
from web.taken import create_once

Row = TypeVar("Row", bound=models.Model)


def _locked(model: type[Row], pk: int) -> Row:
    """The row, held until the transaction ends. Raises Http404 where the same button, sent twice, took it off."""
    row = model._default_manager.select_for_update().filter(pk=pk).first()
    if row is None:
        raise Http404("It is taken off already; nothing else was changed.")
    return row


@transaction.atomic
def add_no_go(site_id: int, *, by: User, at: datetime, **fields: Any) -> NoGoArea:
    """Mark ground that may not be searched; `geometry` is a GeoJSON MultiPolygon, `buffer_m` its margin in metres."""
    require(by, Right.MANAGE_LAND)
    site = Site.objects.select_for_update().get(pk=site_id)
    area, made = create_once(NoGoArea, site=site, **fields)
    if made:
        _measure(site)
        audit.record("no_go.add", site, by=by, at=at, reason=area.reason, buffer_m=area.buffer_m)
    return area


@transaction.atomic
def remove_no_go(area_id: int, *, by: User, at: datetime) -> Site:
    """Take a no-go area off again; its shape stays in the trail."""
    require(by, Right.MANAGE_LAND)
    area = _locked(NoGoArea, area_id)
    site = Site.objects.select_for_update().get(pk=area.site_id)
    audit.record("no_go.remove", site, by=by, at=at, reason=area.reason, geometry=area.geometry)
    area.delete()
    _measure(site)
    return site


def _measure(site: Site) -> None:
    site.no_go_share = no_go_share_of(site)
    site.save(update_fields=["no_go_share"])


@transaction.atomic
def add_field_state(site: Site, *, by: User, at: datetime, **fields: Any) -> FieldState:
    """Record what stood on the field on a day and who said so."""
    require(by, Right.MANAGE_LAND)
    state, made = create_once(FieldState, site=site, **fields)
    if made:
        audit.record("field_state.add", site, by=by, at=at, on=str(state.on), effect=state.effect)
    return state


@transaction.atomic
def remove_field_state(state_id: int, *, by: User, at: datetime) -> Site:
    """Take an entry of the log off that was written down wrongly; the trail keeps what it said."""
    require(by, Right.MANAGE_LAND)
    state = _locked(FieldState, state_id)
    said = {"on": str(state.on), "what": str(state), "effect": state.effect, "livestock": state.livestock}
    audit.record("field_state.remove", state.site, by=by, at=at, **said)
    state.delete()
    return state.site


@transaction.atomic
def add_closed_period(site: Site, *, by: User, at: datetime, **fields: Any) -> ClosedPeriod:
    """Close a site, or make it ask first, from the first to the last day, once or every year."""
    require(by, Right.MANAGE_LAND)
    period, made = create_once(ClosedPeriod, site=site, **fields)
    if made:
        audit.record("closed_period.add", site, by=by, at=at, **_said(period))
    return period


@transaction.atomic
def add_closed_periods(
    sites: Iterable[Site], *, by: User, at: datetime, client_id: UUID, **fields: Any
) -> list[ClosedPeriod]:
    """The same closed period on several sites: on all or on none. Sent twice it is one each."""
    return [
        add_closed_period(site, by=by, at=at, client_id=uuid5(client_id, str(site.pk)), **fields)
        for site in sites
    ]


@transaction.atomic
def remove_closed_period(period_id: int, *, by: User, at: datetime) -> Site:
    """Take a closed period off again."""
    require(by, Right.MANAGE_LAND)
    period = _locked(ClosedPeriod, period_id)
    audit.record("closed_period.remove", period.site, by=by, at=at, **_said(period))
    period.delete()
    return period.site


def _said(period: ClosedPeriod) -> dict[str, Any]:
    return {
        "reason": period.reason,
        "starts": str(period.starts),
        "ends": str(period.ends),
        "yearly": period.yearly,
        "effect": period.effect,
    }


@transaction.atomic
def add_protected_check(site: Site, *, by: User, at: datetime, **fields: Any) -> ProtectedCheck:
    """Record that somebody looked at the official maps of protected places, and what they found."""
    require(by, Right.MANAGE_LAND)
    check, made = create_once(ProtectedCheck, site=site, checked_by=by, **fields)
    if made:
        audit.record("protected_check.add", site, by=by, at=at, result=check.result, source=check.source)
    return check


@transaction.atomic
def add_licence(*, by: User, at: datetime, sites: Iterable[Site], **fields: Any) -> Licence:
    """Record an official licence or consent for some sites and days."""
    require(by, Right.MANAGE_LAND)
    licence, made = create_once(Licence, **fields)
    if made:
        licence.sites.set(sites)
        audit.record("licence.add", licence, by=by, at=at, code=licence.code, ends=str(licence.ends))
    return licence


@transaction.atomic
def remove_licence(licence_id: int, *, by: User, at: datetime) -> Licence:
    """Take a licence off that was recorded wrongly or was revoked; the trail keeps what it said."""
    require(by, Right.MANAGE_LAND)
    licence = _locked(Licence, licence_id)
    said = {"code": licence.code, "authority": licence.authority, "ends": str(licence.ends)}
    audit.record("licence.remove", licence, by=by, at=at, **said)
    licence.delete()
    return licence
