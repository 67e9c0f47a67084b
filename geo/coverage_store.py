"""Coverage in and out: packed bytes for the database, a picture for the map, an outline for exports."""

import struct
import zlib
from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from geo.grid import MAX_CELLS, Bits, CoverageError, Grid, Raster
from geo.rings import cell_polygons

VERSION = 1  # of the hash, the capsule test and this layout; masks of another version must be drawn again
HEADER = struct.Struct("<BHiiII")
Colour = tuple[int, int, int, int]

# Index 0 outside, 1 gap, 2 gap hatch, 3 and up one pass, two passes… (red, green, blue, opacity)
PALETTE: tuple[Colour, ...] = (
    (0, 0, 0, 0),
    (255, 255, 255, 60),
    (120, 60, 20, 200),
    (60, 110, 60, 110),
    (45, 90, 50, 150),
    (30, 70, 40, 185),
    (15, 50, 30, 215),
)
HATCH_CELLS = 8


def pack(raster: Raster) -> bytes:
    """The mask as bytes: version, cell size, place and size, then zlib over one bit a cell."""
    rows, cols = raster.bits.shape
    head = HEADER.pack(VERSION, round(raster.cell_m * 1000), raster.col0, raster.row0, cols, rows)
    return head + zlib.compress(np.packbits(raster.bits).tobytes(), 6)


def unpack(data: bytes) -> Raster:
    """What `pack` packed. Raises CoverageError for another version and for broken bytes."""
    if len(data) < HEADER.size or data[0] != VERSION:
        version = data[0] if data else "none"
        what = f"This coverage has version {version}, the program draws version {VERSION}"
        raise CoverageError(what, value=version, remedy="draw the track again")
    _, cell_mm, col0, row0, cols, rows = HEADER.unpack_from(data)
    size = (cols * rows + 7) // 8
    if cols * rows > MAX_CELLS:
        raise CoverageError(
            f"This coverage claims {cols * rows} cells", value=cols * rows, remedy="draw it again"
        )
    try:
        packed = zlib.decompressobj().decompress(data[HEADER.size :], size + 1)
    except zlib.error as error:
        raise CoverageError(
            "These coverage bytes are broken", value=len(data), remedy="draw it again"
        ) from error
    if len(packed) != size:
        raise CoverageError("These coverage bytes are cut short", value=len(data), remedy="draw it again")
    bits = np.unpackbits(np.frombuffer(packed, dtype=np.uint8), count=cols * rows).astype(bool)
    return Raster(cell_mm / 1000, col0, row0, bits.reshape(rows, cols))


def picture(counts: NDArray[Any], site: Bits, palette: Sequence[Colour] = PALETTE) -> bytes:
    """A PNG of the passes over a site, north up: gaps hatched (shape before colour), more passes darker.

    `counts` (rows, cols) are passes or booleans; outside `site` is clear. Lay it over `Grid.outline`.
    """
    rows, cols = site.shape
    stripe = (np.arange(rows)[:, None] + np.arange(cols)[None, :]) % HATCH_CELLS < 2
    index = np.where(stripe, np.uint8(2), np.uint8(1))
    deepest = len(palette) - 3
    covered = counts > 0
    index[covered] = np.minimum(counts, deepest).astype(np.uint8)[covered] + 2
    index[~site] = 0
    return png(index[::-1], palette)


def png(index: NDArray[np.uint8], palette: Sequence[Colour]) -> bytes:
    """An indexed PNG with opacity of at most 256 colours; `index` (rows, cols), first row on top.

    Source: W3C Portable Network Graphics (PNG) Specification, third edition, sections 5, 11.2 and 11.3.1.1.
    """
    rows, cols = index.shape
    lines = np.zeros((rows, cols + 1), dtype=np.uint8)  # each line opens with its filter type, 0
    lines[:, 1:] = index
    colours = bytes(value for colour in palette for value in colour[:3])
    return b"".join(
        (
            b"\x89PNG\r\n\x1a\n",
            _chunk(b"IHDR", struct.pack(">IIBBBBB", cols, rows, 8, 3, 0, 0, 0)),
            _chunk(b"PLTE", colours),
            _chunk(b"tRNS", bytes(colour[3] for colour in palette)),
            _chunk(b"IDAT", zlib.compress(lines.tobytes(), 6)),
            _chunk(b"IEND", b""),
        )
    )


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def outline(grid: Grid, cells: Bits) -> Any:
    """The set cells as a lon/lat MultiPolygon along cell edges, for exports; the map shows `picture`."""
    corner = np.array([grid.col0, grid.row0])
    metres = shapely.transform(
        shapely.MultiPolygon(cell_polygons(cells)), lambda place: (place + corner) * grid.cell_m
    )
    return grid.local.to_degrees(metres)
