"""Keep a file on its way in, hear which coordinate system it is in, and save what it is to become: all or nothing."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from people import audit
from people.models import User
from people.rights import Right, require
from permissions.actions.sites import add_site, redraw_site
from permissions.import_file import Reading, boundary_of, shape_key
from permissions.models import ImportDraft, ProtectedLayer, Site
from web.taken import create_once

KEPT_FOR = timedelta(days=2)


class NoDraftError(Exception):
    """The file is no longer waiting: it was saved, thrown away or has expired."""


@dataclass(frozen=True)
class NewSite:
    """Shape number `shape` of the draft, from 0, becomes a site."""

    shape: int
    code: str
    name: str
    holding: str
    jurisdiction: str


@dataclass(frozen=True)
class NewLine:
    """Shape number `shape` of the draft becomes the boundary of a site that is there."""

    shape: int
    site_id: int


@transaction.atomic
def keep_import(
    reading: Reading,
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    purpose: str,
    layer: ProtectedLayer | None = None,
) -> ImportDraft:
    """Keep what a file held for `KEPT_FOR`, for nobody but `by`. Drafts that have expired go. Sent twice it is one."""
    require(by, Right.MANAGE_LAND)
    ImportDraft.objects.filter(expires_at__lte=at).delete()
    draft, _rest = create_once(
        ImportDraft,
        client_id=client_id,
        purpose=purpose,
        made_by=by,
        made_at=at,
        expires_at=at + KEPT_FOR,
        layer=layer,
        **vars(reading),
    )
    return draft


@transaction.atomic
def answer_import(draft_id: int, reading: Reading, *, by: User, at: datetime) -> ImportDraft:
    """Put in what the file holds in the coordinate system that was answered. Raises NoDraftError."""
    draft = lock_draft(draft_id, by=by, at=at)
    if draft.saved_at is not None:
        raise NoDraftError(_("“%(draft_filename)s” is saved already.") % {"draft_filename": draft.filename})
    for name, value in vars(reading).items():
        setattr(draft, name, value)
    draft.save(update_fields=list(vars(reading)))
    return draft


@transaction.atomic
def save_import(draft_id: int, *, by: User, at: datetime, choices: Iterable[NewSite | NewLine]) -> list[Site]:
    """Make the chosen shapes sites, or new boundaries of sites: all or, if one cannot be, none.

    Saved twice it changes nothing the second time. Raises NoDraftError, or TakenError for a code in use.
    """
    draft = lock_draft(draft_id, by=by, at=at)
    if draft.saved_at is not None:
        return list(Site.objects.filter(client_id__in=_keys(draft)))
    saved = [_save(draft, choice, by=by, at=at) for choice in choices]
    draft.saved_at = at
    draft.save(update_fields=["saved_at"])
    codes = [site.code for site in saved]
    audit.record("import.save", draft, by=by, at=at, file=draft.filename, format=draft.format, sites=codes)
    return saved


@transaction.atomic
def discard_import(draft_id: int, *, by: User, at: datetime) -> None:
    """Throw the file away; what was saved from it stays."""
    lock_draft(draft_id, by=by, at=at).delete()


def _keys(draft: ImportDraft) -> list[UUID]:
    return [shape_key(draft.client_id, number) for number in range(len(draft.shapes))]


def lock_draft(draft_id: int, *, by: User, at: datetime) -> ImportDraft:
    """The draft of `by`, locked. Raises NoDraftError once it is gone."""
    require(by, Right.MANAGE_LAND)
    draft = ImportDraft.objects.visible_to(by).live(at).select_for_update().filter(pk=draft_id).first()
    if draft is None:
        raise NoDraftError(_("The file is no longer kept here; send it again."))
    return draft


def _save(draft: ImportDraft, choice: NewSite | NewLine, *, by: User, at: datetime) -> Site:
    boundary = boundary_of(draft.shapes[choice.shape])
    source = (_("read from %(draft_filename)s") % {"draft_filename": draft.filename})[:60]
    if isinstance(choice, NewLine):
        return redraw_site(choice.site_id, by=by, at=at, boundary=boundary, source=source)
    return add_site(
        by=by,
        at=at,
        boundary=boundary,
        source=source,
        client_id=shape_key(draft.client_id, choice.shape),
        code=choice.code,
        name=choice.name,
        holding=choice.holding,
        jurisdiction=choice.jurisdiction,
    )
