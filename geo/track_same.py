"""Recognising a track that was uploaded before, as the same file or saved again by another program."""

import hashlib
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from geo.gpx import Line

Floats = NDArray[np.float64]


def fingerprint(lines: Iterable[Line]) -> str:
    """A name for a track by which the same file, uploaded again, is recognised: 64 hexadecimal digits.

    Positions to 6 decimals and whole seconds; names and everything else in the file do not matter.
    """
    digest = hashlib.sha256()
    for line in lines:
        digest.update(np.round(line.lon_lat * 1e6).astype("<i8").tobytes())
        digest.update(np.round(np.nan_to_num(line.time_s, nan=-1.0)).astype("<i8").tobytes())
    return digest.hexdigest()


def same_walk_share(first: Iterable[Line], second: Iterable[Line], *, within_m: float = 3.0) -> float:
    """The share of the shorter track's seconds that the other has too at the same place: 1 for one walk
    saved twice.

    Two receivers carried by two people never agree; one walk exported by two programs does. 0 without times.
    """
    a, b = _by_second(first), _by_second(second)
    _, at_a, at_b = np.intersect1d(a[:, 0], b[:, 0], return_indices=True)
    if not len(at_a):
        return 0.0
    north_m = (a[at_a, 2] - b[at_b, 2]) * 111_200
    east_m = (a[at_a, 1] - b[at_b, 1]) * 111_200 * np.cos(np.radians(a[at_a, 2]))
    return float((np.hypot(north_m, east_m) <= within_m).sum() / min(len(a), len(b)))


def _by_second(lines: Iterable[Line]) -> Floats:
    """Whole seconds, lon, lat of timed points, one a second."""
    rows = [np.column_stack([np.round(line.time_s), line.lon_lat]) for line in lines]
    table = np.concatenate([*rows, np.empty((0, 3))])
    table = table[~np.isnan(table[:, 0])]
    seconds: Floats = table[np.unique(table[:, 0], return_index=True)[1]]
    return seconds
