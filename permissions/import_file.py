"""A file that somebody sent, read into shapes that can be looked at before anything is saved. No query, no write."""

from dataclasses import dataclass, field
from typing import Any
from uuid import UUID, uuid5

from django.utils.translation import gettext as _

from geo.errors import GeoError
from geo.files import CrsUnknownError, FileError, NamedShape, ReadFile, read_boundaries, read_places
from geo.measure import GEOD
from geo.polygon import CheckedBoundary, check_boundary
from tongue import figure
from web.photos import Upload, shown_name, size_words

MAX_BYTES = 20_000_000
MOST_SHAPES = 200
FAR_KM = 300.0
Place = tuple[float, float]
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Reading:
    """What a file held, as columns of ImportDraft. `raw` is kept only while `question` waits for an answer."""

    filename: str
    raw: bytes | None = None
    question: str = ""
    choices: list[dict[str, Any]] = field(default_factory=list)
    format: str = ""
    crs: str = ""
    notes: list[str] = field(default_factory=list)
    shapes: list[dict[str, Any]] = field(default_factory=list)
    within: Box | None = None


def take_upload(upload: Upload) -> tuple[bytes, str]:
    """The content and the name to show. Raises FileError for a file that is too large."""
    name = shown_name(upload.name)[:160]
    if (upload.size or 0) > MAX_BYTES:
        raise FileError(
            _("“%(name)s” has %(size_words)s") % {"name": name, "size_words": size_words(upload.size or 0)},
            value=upload.size,
            remedy=_("give at most %(size_words)s: keep only the ground you need")
            % {"size_words": size_words(MAX_BYTES)},
        )
    return upload.read(MAX_BYTES + 1), name


def read_sites(data: bytes, filename: str, *, crs: str = "", near: Place | None = None) -> Reading:
    """Boundaries in a file, each checked and mended. Raises FileError with the remedy.

    A file that does not say what its numbers mean comes back with a question and the likely answers.
    """
    try:
        read = read_boundaries(data, filename, crs=crs or None, near=near)
    except CrsUnknownError as error:
        return _asking(data, filename, error)
    if len(read.shapes) > MOST_SHAPES:
        raise FileError(
            _("“%(filename)s” holds %(read_shapes)s outlines")
            % {"filename": filename, "read_shapes": figure(f"{len(read.shapes):,}")},
            value=len(read.shapes),
            remedy=_("keep only your own fields: %(most_shapes)s can be looked at together")
            % {"most_shapes": MOST_SHAPES},
        )
    return _reading(filename, read, [_checked(shape, near) for shape in read.shapes])


def read_layer(
    data: bytes, filename: str, *, crs: str = "", near: Place | None = None, within: Box | None = None
) -> Reading:
    """Protected places in a file, with the attributes of their source. Raises FileError; asks as `read_sites` does."""
    try:
        read = read_places(data, filename, crs=crs or None, near=near, within=within)
    except CrsUnknownError as error:
        return _asking(data, filename, error, within)
    shapes = [{"name": s.name, "geometry": s.geometry, "properties": s.properties} for s in read.shapes]
    return _reading(filename, read, shapes, within)


def _asking(data: bytes, filename: str, error: CrsUnknownError, within: Box | None = None) -> Reading:
    choices = [{"code": c.code, "label": c.label, "lon": c.lon, "lat": c.lat} for c in error.choices]
    return Reading(filename, data, f"{error.what}.", choices, within=within)


def _reading(
    filename: str, read: ReadFile, shapes: list[dict[str, Any]], within: Box | None = None
) -> Reading:
    known = "" if read.crs_known else _(", as you answered")
    return Reading(
        filename=filename,
        format=read.format,
        crs=f"{read.crs}{known}"[:160],
        notes=list(read.notes),
        shapes=shapes,
        within=within,
    )


def _checked(shape: NamedShape, near: Place | None) -> dict[str, Any]:
    """The boundary fit to keep, or in its place the reason why it is not."""
    try:
        checked = check_boundary(shape.geometry)
    except GeoError as error:
        return {"name": shape.name, "error": str(error)}
    notes = [*checked.notes, *_far(checked, near)]
    return {"name": shape.name, **vars(checked), "notes": notes}


def _far(checked: CheckedBoundary, near: Place | None) -> list[str]:
    if near is None:
        return []
    west, south, east, north = checked.bounds
    km = GEOD.inv(*near, (west + east) / 2, (south + north) / 2)[2] / 1000
    if km <= FAR_KM:
        return []
    return [
        _("It lies %(km)s km from the club: check that the coordinates are read rightly. The gate will ask.")
        % {"km": figure(f"{km:,.0f}")}
    ]


def boundary_of(shape: dict[str, Any]) -> CheckedBoundary:
    """The checked boundary that a draft keeps."""
    return CheckedBoundary(
        geometry=shape["geometry"],
        area_m2=shape["area_m2"],
        perimeter_m=shape["perimeter_m"],
        bounds=tuple(shape["bounds"]),
        notes=tuple(shape["notes"]),
        repaired=shape["repaired"],
    )


def shape_key(client_id: UUID, number: int) -> UUID:
    """The key of what shape `number` becomes, so that no second sending makes another."""
    return uuid5(client_id, str(number))
