"""Save a table of landholders or of sites: all of it or nothing, and take such an import back within a day."""

from datetime import datetime
from uuid import UUID, uuid5

from django.db import models, transaction

from people.actions.tables import begin_save, lock_import, note_import, plan_again, remove_made
from people.models import TableImport, User
from people.rights import Right, require
from permissions.actions.landholders import add_landholder
from permissions.actions.parties import add_party
from permissions.actions.sites import add_site, redraw_site
from permissions.import_fields import LANDHOLDER_FIELDS, SITE_FIELDS
from permissions.import_landholders import COPIED as LANDHOLDER_COLUMNS
from permissions.import_landholders import plan_landholders
from permissions.import_sites import plan_sites
from permissions.models import Boundary, Landholder, ProtectedNear, Site, SiteOverlap, SiteParty
from web.tables.plan import Coming


@transaction.atomic
def save_landholders(key: UUID, *, by: User, at: datetime, seal: str) -> TableImport:
    """Add the landholders who are new, and the say over sites that the file gives. Saved twice it is once.

    Raises NoTableError, TableError, or ChangedError when it is no longer what was looked at.
    """
    require(by, Right.MANAGE_PERMISSIONS)
    draft = begin_save(key, by=by, at=at)
    if isinstance(draft, TableImport):
        return draft
    plan, rows = plan_again(draft, LANDHOLDER_FIELDS, plan_landholders, by=by, at=at, seal=seal)
    made = [_landholder(row, key, by=by, at=at) for row in plan.new]
    for row, landholder in [*zip(plan.new, made, strict=True), *((row, row.there) for row in plan.gaining)]:
        for site, capacity in row.values["parties"]:
            add_party(site.pk, by=by, at=at, landholder=landholder, capacity=capacity)
    kept = {"landholders": made}
    return note_import(draft, by=by, at=at, rows=rows, made=kept, gained=len(plan.gaining))


def _landholder(row: Coming, key: UUID, *, by: User, at: datetime) -> Landholder:
    names = ("name", "held_since", *(name for name in LANDHOLDER_COLUMNS if name != "held_why"))
    fields = {name: row.values[name] for name in names}
    if row.values["held_why"]:
        fields["held_why"] = row.values["held_why"]
    return add_landholder(by=by, at=at, client_id=uuid5(key, str(row.line)), **fields)


@transaction.atomic
def take_back_landholders(import_id: int, *, by: User, at: datetime) -> TableImport:
    """Remove the landholders that an import made, and their say, while nothing else hangs on them. Twice is once.

    Raises TakeBackError with the reason.
    """
    require(by, Right.MANAGE_PERMISSIONS)
    row = lock_import(import_id, by=by, at=at)
    if row is None:
        return TableImport.objects.get(pk=import_id)
    landholders = row.made["landholders"]
    parties = list(SiteParty.objects.filter(landholder__in=landholders).values_list("pk", flat=True))
    remove_made(row, {SiteParty: parties, Landholder: landholders}, by=by, at=at)
    return row


@transaction.atomic
def save_sites(key: UUID, *, by: User, at: datetime, seal: str) -> TableImport:
    """Add the sites that are new, and to sites that are here a first boundary and owners. Saved twice it is once.

    Raises NoTableError, TableError, TakenError, or ChangedError when it is no longer what was looked at.
    """
    require(by, Right.MANAGE_LAND)
    draft = begin_save(key, by=by, at=at)
    if isinstance(draft, TableImport):
        return draft
    plan, rows = plan_again(draft, SITE_FIELDS, plan_sites, by=by, at=at, seal=seal)
    source = f"read from {draft.filename}"[:60]
    made = [_site(row, key, source, by=by, at=at) for row in plan.new]
    for row in plan.gaining:
        if "boundary" in row.values:
            redraw_site(row.there.pk, by=by, at=at, boundary=row.values["boundary"], source=source)
    for row, site in [*zip(plan.new, made, strict=True), *((row, row.there) for row in plan.gaining)]:
        for landholder, capacity in row.values["parties"]:
            add_party(site.pk, by=by, at=at, landholder=landholder, capacity=capacity)
    return note_import(draft, by=by, at=at, rows=rows, made={"sites": made}, gained=len(plan.gaining))


def _site(row: Coming, key: UUID, source: str, *, by: User, at: datetime) -> Site:
    fields = {name: value for name, value in row.values.items() if name not in {"parties", "boundary"}}
    boundary = row.values.get("boundary")
    return add_site(
        by=by, at=at, boundary=boundary, source=source, client_id=uuid5(key, str(row.line)), **fields
    )


@transaction.atomic
def take_back_sites(import_id: int, *, by: User, at: datetime) -> TableImport:
    """Remove the sites that an import made, with their first boundaries, while nothing else hangs on them.

    Twice is once. Raises TakeBackError with the reason.
    """
    require(by, Right.MANAGE_LAND)
    row = lock_import(import_id, by=by, at=at)
    if row is None:
        return TableImport.objects.get(pk=import_id)
    sites = row.made["sites"]
    parts: list[type[models.Model]] = [SiteParty, Boundary]
    keys: dict[type[models.Model], list[int]] = {
        model: list(model._base_manager.filter(site__in=sites).values_list("pk", flat=True))
        for model in parts
    }
    remove_made(row, {**keys, Site: sites}, by=by, at=at, but=(SiteOverlap, ProtectedNear))
    return row
