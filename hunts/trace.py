"""The points of a track as a few bytes each, so that it can be drawn again and the same walk is known again."""

import struct
import zlib
from collections.abc import Sequence

import numpy as np
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from geo.gpx import Line

STEP_DEG = 1e-6  # 0.1 m; receivers are good to 1 to 3 m
HEADER = struct.Struct("<BIq")  # layout, number of lines, first second
LAYOUT = 1
MOST_BYTES = 20_000_000


class TraceError(ValueError):
    """Stored bytes that hold no trace."""


def pack_trace(lines: Sequence[Line]) -> bytes:
    """Positions to 0.1 m and whole seconds (-1 where there is no time), as differences, deflated."""
    tables = [_rows(line) for line in lines]
    table = np.concatenate([*tables, np.empty((0, 3), dtype=np.int64)])
    known = table[table[:, 0] >= 0, 0]
    first = int(known.min()) if len(known) else 0
    table[table[:, 0] >= 0, 0] -= first
    steps = np.diff(table, axis=0, prepend=np.zeros((1, 3), dtype=np.int64)).astype("<i4")
    sizes = np.array([len(each) for each in tables], dtype="<i4")
    return HEADER.pack(LAYOUT, len(tables), first) + zlib.compress(sizes.tobytes() + steps.T.tobytes(), 6)


def _rows(line: Line) -> NDArray[np.int64]:
    seconds = np.round(np.nan_to_num(line.time_s, nan=-1.0)).astype(np.int64)
    return np.column_stack([seconds, np.round(line.lon_lat / STEP_DEG).astype(np.int64)])


def unpack_trace(data: bytes) -> list[Line]:
    """What `pack_trace` packed. Raises TraceError for anything else."""
    if len(data) < HEADER.size or data[0] != LAYOUT:
        raise TraceError(_("These bytes hold no trace."))
    _rest, count, first = HEADER.unpack_from(data)
    try:
        body = zlib.decompressobj().decompress(data[HEADER.size :], MOST_BYTES)
    except zlib.error as error:
        raise TraceError(_("This trace is broken.")) from error
    numbers = np.frombuffer(body, dtype="<i4")
    sizes, steps = numbers[:count], numbers[count:].astype(np.int64)
    if len(sizes) != count or len(steps) != 3 * sizes.sum():
        raise TraceError(_("This trace is cut short."))
    table = np.cumsum(steps.reshape(3, -1), axis=1)
    ends = np.cumsum(sizes)
    return [_line(table[:, end - size : end], first) for size, end in zip(sizes, ends, strict=True)]


def _line(table: NDArray[np.int64], first: int) -> Line:
    seconds = np.where(table[0] >= 0, table[0] + first, np.nan)
    lon_lat: NDArray[np.float64] = table[1:].T.astype(np.float64) * STEP_DEG
    return Line("", lon_lat, seconds, np.full(table.shape[1], np.nan))
