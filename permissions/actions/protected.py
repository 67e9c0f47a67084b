"""Bring in a layer of protected places, and work out what it means for every site; nothing is asked again later."""

from datetime import datetime
from typing import Any

import numpy as np
import shapely
from django.db import transaction
from django.utils.translation import gettext as _

from geo.files.model import name_from
from geo.measure import to_shape
from people import audit
from people.models import User
from people.rights import Right, require
from permissions.actions.compare import compare_layer
from permissions.actions.imports import NoDraftError, lock_draft
from permissions.models import ImportDraft, ProtectedLayer, ProtectedPlace
from web.taken import create_once

_A_BATCH = 500


@transaction.atomic
def save_layer(
    draft_id: int, *, by: User, at: datetime, name_field: str = "", reference_field: str = "", **fields: Any
) -> ProtectedLayer:
    """Make the draft's places a layer, or bring the layer that it is for up to date: all places, or none.

    `fields` are name, kind, source, licence, data_on, buffer_m and is_check. Saved twice it is one. Raises
    NoDraftError.
    """
    draft = lock_draft(draft_id, by=by, at=at)
    if draft.saved_at is not None:
        if draft.layer is None:
            raise NoDraftError(
                _("“%(draft_filename)s” is saved already.") % {"draft_filename": draft.filename}
            )
        return draft.layer
    south, west, north, east = _box(draft)
    values = fields | {
        "filename": draft.filename,
        "imported_at": at,
        "imported_by": by,
        "min_lat": south,
        "min_lon": west,
        "max_lat": north,
        "max_lon": east,
    }
    layer = _changed(draft.layer, values) if draft.layer else _made(draft, values)
    layer.places.all().delete()
    _add_places(layer, draft, name_field, reference_field)
    compare_layer(layer)
    draft.layer, draft.saved_at = layer, at
    draft.save(update_fields=["layer", "saved_at"])
    said: dict[str, Any] = {
        "places": len(draft.shapes),
        "source": layer.source,
        "data_on": str(layer.data_on),
    }
    audit.record("protected_layer.save", layer, by=by, at=at, **said)
    return layer


def _made(draft: ImportDraft, values: dict[str, Any]) -> ProtectedLayer:
    return create_once(ProtectedLayer, client_id=draft.client_id, **values)[0]


def _changed(layer: ProtectedLayer, values: dict[str, Any]) -> ProtectedLayer:
    for name, value in values.items():
        setattr(layer, name, value)
    layer.save(update_fields=list(values))
    return layer


def _box(draft: ImportDraft) -> tuple[float, float, float, float]:
    """Where the layer speaks (south, west, north, east): the ground asked for; else the box of its places."""
    if draft.within:
        west, south, east, north = draft.within
    else:
        shapes = np.array([to_shape(shape["geometry"]) for shape in draft.shapes], dtype=object)
        west, south, east, north = (float(v) for v in shapely.total_bounds(shapes))
    return south, west, north, east


def _add_places(layer: ProtectedLayer, draft: ImportDraft, name_field: str, reference_field: str) -> None:
    rows = []
    for number, shape in enumerate(draft.shapes, 1):
        west, south, east, north = to_shape(shape["geometry"]).bounds
        said = shape["properties"]
        rows.append(
            ProtectedPlace(
                layer=layer,
                name=name_from(said, number, name_field)[:120] if name_field else shape["name"][:120],
                reference=str(said.get(reference_field) or "")[:60],
                geometry=shape["geometry"],
                min_lat=south,
                min_lon=west,
                max_lat=north,
                max_lon=east,
            )
        )
    ProtectedPlace.objects.bulk_create(rows, batch_size=_A_BATCH)


@transaction.atomic
def change_layer(layer_id: int, *, by: User, at: datetime, **fields: Any) -> ProtectedLayer:
    """Change what is known of a layer; a new margin is compared with every site at once."""
    require(by, Right.MANAGE_LAND)
    layer = ProtectedLayer.objects.select_for_update().get(pk=layer_id)
    changed = [name for name, value in fields.items() if getattr(layer, name) != value]
    if changed:
        _changed(layer, {name: fields[name] for name in changed})
        if "buffer_m" in changed:
            compare_layer(layer)
        audit.record("protected_layer.change", layer, by=by, at=at, changed=changed)
    return layer


@transaction.atomic
def remove_layer(layer_id: int, *, by: User, at: datetime) -> None:
    """Take a layer off with its places; sites that only it shut are judged without it."""
    require(by, Right.MANAGE_LAND)
    layer = ProtectedLayer.objects.select_for_update().get(pk=layer_id)
    said: dict[str, Any] = {
        "source": layer.source,
        "data_on": str(layer.data_on),
        "places": layer.places.count(),
    }
    audit.record("protected_layer.remove", layer, by=by, at=at, **said)
    layer.delete()
