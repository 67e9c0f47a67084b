"""Split a site along a line and merge neighbours: new sites take over, the old ones are retired with their past."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from geo.polygon import CheckedBoundary
from people import audit
from people.models import User
from people.rights import Right, require
from permissions.actions.sites import add_site, no_go_share_of
from permissions.carry import Carry, carry_from, no_go_in
from permissions.models import (
    ClosedPeriod,
    FieldState,
    NoGoArea,
    ProtectedCheck,
    Site,
    SiteParty,
    Succession,
)
from tongue import all_of


class CutError(Exception):
    """The ground cannot be split or merged now; the sentence says why."""


@dataclass(frozen=True)
class Part:
    """One new site: its ground, its code and its name."""

    boundary: CheckedBoundary
    client_id: UUID
    code: str
    name: str


@transaction.atomic
def split_site(site_id: int, *, by: User, at: datetime, on: date, parts: Sequence[Part]) -> list[Site]:
    """Retire a site from `on` and make its parts sites. Sent twice it is split once.

    Raises CutError for a site that is retired already or on which a hunt is running, TakenError for a code in use.
    """
    require(by, Right.MANAGE_LAND)
    (old,) = _locked([site_id])
    if done := _done(parts):
        return done
    _check_free([old], on)
    return _replace([old], parts, Succession.How.SPLIT, by=by, at=at, on=on)


@transaction.atomic
def merge_sites(site_ids: Sequence[int], *, by: User, at: datetime, on: date, part: Part) -> Site:
    """Retire two sites or more from `on` and make one of their ground. Sent twice it is merged once.

    Raises as `split_site`, and CannotCarryError where one site cannot lie under the law of both.
    """
    require(by, Right.MANAGE_LAND)
    old = _locked(site_ids)
    if done := _done([part]):
        return done[0]
    if len(old) < 2:
        raise CutError(_("Choose at least one other site to merge with."))
    _check_free(old, on)
    return _replace(old, [part], Succession.How.MERGE, by=by, at=at, on=on)[0]


def _locked(site_ids: Sequence[int]) -> list[Site]:
    """The sites as they were named, locked in one order so that two people never wait for each other."""
    rows = {site.pk: site for site in Site.objects.select_for_update().filter(pk__in=site_ids).order_by("pk")}
    return [rows[pk] for pk in dict.fromkeys(site_ids)]


def _done(parts: Sequence[Part]) -> list[Site]:
    """The new sites, where the same form made them already."""
    return list(Site.objects.filter(client_id__in=[part.client_id for part in parts]))


def _check_free(sites: Sequence[Site], on: date) -> None:
    for site in sites:
        if site.retired_on is not None:
            raise CutError(
                _("%(site)s is no longer used since %(site_retired_on)s; nothing was changed.")
                % {"site": site, "site_retired_on": date_format(site.retired_on, "j M Y")}
            )
    busy = Site.objects.filter(pk__in=[s.pk for s in sites], hunt_sites__hunt__state="running").first()
    if busy is not None:
        raise CutError(
            _("A hunt is running on %(busy)s; wait until everybody is back and it is closed.")
            % {"busy": busy}
        )


def _replace(
    old: Sequence[Site], parts: Sequence[Part], how: str, *, by: User, at: datetime, on: date
) -> list[Site]:
    carry = carry_from(old, on)
    for site in old:
        site.retired_on = on
        site.save(update_fields=["retired_on"])
    source = (_("%(how)s from %(old)s") % {"how": how, "old": all_of(site.code for site in old)})[:60]
    new = [_make(part, carry, source, by=by, at=at) for part in parts]
    for site in old:
        for after in new:
            Succession.objects.create(before=site, after=after, how=how, on=on, said=carry.words)
        codes = [after.code for after in new]
        audit.record(f"site.{how}", site, by=by, at=at, retired_on=str(on), into=codes, said=carry.words)
    return new


def _make(part: Part, carry: Carry, source: str, *, by: User, at: datetime) -> Site:
    site = add_site(
        by=by,
        at=at,
        boundary=part.boundary,
        source=source,
        client_id=part.client_id,
        code=part.code,
        name=part.name,
        **carry.columns,
    )
    agreements: tuple[Any, ...] = (*carry.permissions, *carry.consents, *carry.licences)
    for agreement in agreements:
        agreement.sites.add(site)
    SiteParty.objects.bulk_create(SiteParty(site=site, **values) for values in carry.parties)
    FieldState.objects.bulk_create(FieldState(site=site, **values) for values in carry.states)
    ClosedPeriod.objects.bulk_create(_period(site, period) for period in carry.periods)
    areas = no_go_in(carry.no_go, site.boundary)
    NoGoArea.objects.bulk_create(
        NoGoArea(site=site, reason=a.reason, geometry=a.geometry, buffer_m=a.buffer_m) for a in areas
    )
    if carry.check:
        ProtectedCheck.objects.create(site=site, **carry.check)
    if areas:
        site.no_go_share = no_go_share_of(site)
        site.save(update_fields=["no_go_share"])
    return site


def _period(site: Site, period: ClosedPeriod) -> ClosedPeriod:
    kept: dict[str, Any] = {
        name: getattr(period, name) for name in ("reason", "starts", "ends", "yearly", "effect")
    }
    return ClosedPeriod(site=site, **kept)
