"""Photographs for print: no larger than the paper can show, in a folder that only this document reads."""

import io
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PIL import Image

PRINT_DPI = 200
TEXT_WIDTH_MM = 174.0
GUTTER_MM = 4.0
MANY, MANY_DPI = 60, 150
MOST, MOST_DPI = 400, 110
"""Beyond so many photographs a coarser print: the compiler holds each picture decoded (0.5 MB at 480 px)."""
_SLACK = 1.25  # a photograph up to this much finer than needed is embedded as it came
_WORKERS = 2


@dataclass(frozen=True)
class Placed:
    """One photograph in the document's folder, with its width over height."""

    file: str
    ratio: float


def column_width_mm(columns: int) -> float:
    """The width of one of `columns` equal columns of the text."""
    return (TEXT_WIDTH_MM - GUTTER_MM * (columns - 1)) / columns


def place(photos: Mapping[str, bytes], widths_mm: Mapping[str, float], folder: Path) -> dict[str, Placed]:
    """Write the photographs named in `widths_mm` to `folder`; absent or unreadable ones are left out.

    `widths_mm` is the widest each is printed. Equal photographs and widths give equal files.
    """
    wanted = sorted(key for key in widths_mm if key in photos)
    dpi = _dpi_for(len(wanted))

    def one(numbered: tuple[int, str]) -> Placed | None:
        number, key = numbered
        return _place_one(photos[key], widths_mm[key] / 25.4 * dpi, folder, number)

    with ThreadPoolExecutor(_WORKERS) as pool:  # Pillow lets go of the interpreter while it decodes
        placed = pool.map(one, enumerate(wanted))
        return {key: found for key, found in zip(wanted, placed, strict=True) if found is not None}


def _dpi_for(count: int) -> int:
    if count > MOST:
        return MOST_DPI
    return MANY_DPI if count > MANY else PRINT_DPI


def _place_one(data: bytes, width_px: float, folder: Path, number: int) -> Placed | None:
    try:
        with Image.open(io.BytesIO(data), formats=("JPEG", "PNG")) as image:
            ratio, extension = image.width / image.height, "png" if image.format == "PNG" else "jpg"
            longest_px = round(width_px * max(1.0, 1 / ratio))
            if max(image.size) > longest_px * _SLACK:
                data, extension = _shrunk(image, longest_px), "jpg"
            else:
                image.load()  # a damaged file must not cost the whole document
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return None
    name = f"photo-{number:04d}.{extension}"
    (folder / name).write_bytes(data)
    return Placed(name, ratio)


def _shrunk(image: Image.Image, longest_px: int) -> bytes:
    image.draft("RGB", (longest_px, longest_px))
    picture = image.convert("RGB")
    picture.thumbnail((longest_px, longest_px), Image.Resampling.LANCZOS)
    picture.info.clear()
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=80)
    return out.getvalue()


def widths_of(blocks: list[dict[str, Any]]) -> dict[str, float]:
    """The widest column in which each photograph of these plain blocks is printed, in millimetres."""
    widths: dict[str, float] = {}
    for block in blocks:
        for photo, width_mm in photos_in(block):
            widths[photo["key"]] = max(width_mm, widths.get(photo["key"], 0.0))
    return widths


def photos_in(block: dict[str, Any]) -> list[tuple[dict[str, Any], float]]:
    """The photographs of one plain block, each with the width of its column in millimetres."""
    if block["block"] == "PhotoGrid":
        return [(photo, column_width_mm(block["columns"])) for photo in block["photos"]]
    if block["block"] == "PhotoPair":
        return [(photo, column_width_mm(2)) for photo in (block["before"], block["after"]) if photo]
    return []
