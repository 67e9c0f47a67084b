"""Which places lie so close together, for what is known of each, that they may be one place: pairs, not clusters.

Clusters by single linkage chain across a field; a pair is something a person can look at and decide.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo.errors import GeoError

LEAST_REACH_M = 3.0
"""Two places known to the centimetre are still looked at together within a stride or two of each other (house rule)."""

MOST_REACH_M = 50.0
"""Beyond this, closeness says nothing: a place known only to 700 m would pair with everything in its square (house
rule).
"""

BLOCK = 1 << 18
"""Candidates looked at in one go. With the sorted cells this is all the memory that the search itself needs."""

_STEPS = 5  # accuracies are sorted into so many classes, each with cells of its own size
_HALF = ((0, 1), (1, -1), (1, 0), (1, 1))
_ALL = (*_HALF, (0, -1), (-1, 1), (-1, 0), (-1, -1))
_MARGIN = 1 + 1e-6  # cells a hair wider than the reach, so that rounding puts no pair two cells apart

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Pairs:
    """Pairs by their places in the arrays that were given, the lower first, with their distance in metres."""

    first: Ints
    second: Ints
    distance_m: Floats

    def __len__(self) -> int:
        return len(self.first)


def reach_m(accuracy_m: float, other_m: float) -> float:
    """How far apart, in metres, two places may be drawn and still be one: from their 95 % radii.

    max(3 m, 2.45 sqrt(s1² + s2²)) with s the error along one axis; a 95 % radius is 2.45 s of a circular normal error
    (geo.precision), so that it is the root of the sum of the squared radii. At most MOST_REACH_M.
    """
    return min(MOST_REACH_M, max(LEAST_REACH_M, math.hypot(accuracy_m, other_m)))


def close_pairs(
    x_m: ArrayLike, y_m: ArrayLike, accuracy_m: ArrayLike, *, kind: ArrayLike | None = None
) -> Pairs:
    """Every pair no farther apart than `reach_m` of its two accuracies, sorted by first and second.

    `x_m`, `y_m` metres in one flat grid; `accuracy_m` 95 % radii in metres; `kind` whole numbers: only pairs of
    like number are given. All are arrays of one length. A pair exactly at its reach counts. The answer takes 24
    bytes a pair; where thousands lie in one spot, take `pair_blocks` and keep what is wanted of each. Raises
    GeoError as `pair_blocks` does.
    """
    blocks = list(pair_blocks(x_m, y_m, accuracy_m, kind=kind))
    if not blocks:
        return Pairs(np.empty(0, np.int64), np.empty(0, np.int64), np.empty(0))
    first = np.concatenate([block.first for block in blocks])
    second = np.concatenate([block.second for block in blocks])
    order = np.lexsort((second, first))
    return Pairs(first[order], second[order], np.concatenate([block.distance_m for block in blocks])[order])


def pair_blocks(
    x_m: ArrayLike, y_m: ArrayLike, accuracy_m: ArrayLike, *, kind: ArrayLike | None = None
) -> Iterator[Pairs]:
    """The pairs of `close_pairs` in blocks from at most BLOCK candidates each, in no order.

    Memory is bounded by that and by the number of points, however many points share a cell: candidates are counted
    first and written out a block at a time. Raises GeoError for arrays of unlike length, a coordinate that is no
    number, or an accuracy below 0.
    """
    x, y, accuracy = (np.asarray(given, dtype=np.float64) for given in (x_m, y_m, accuracy_m))
    kinds = np.zeros(len(x), np.int64) if kind is None else np.asarray(kind, dtype=np.int64)
    _check(x, y, accuracy, kinds)
    points = _Points(x, y, np.minimum(accuracy, MOST_REACH_M), np.unique(kinds, return_inverse=True)[1])
    classes = points.classes()
    for place, rows in enumerate(classes):
        yield from points.within(rows)
        for other in classes[place + 1 :]:
            yield from points.between(rows, other)


def _check(x: Floats, y: Floats, accuracy: Floats, kinds: Ints) -> None:
    lengths = {len(x), len(y), len(accuracy), len(kinds)}
    if len(lengths) > 1:
        raise GeoError(
            f"Arrays of {sorted(lengths)} values do not belong together",
            value=sorted(lengths),
            remedy="give one value of each kind for every point",
        )
    for name, values in (("coordinate", np.concatenate([x, y])), ("accuracy", accuracy)):
        wrong = values[~np.isfinite(values)]
        if len(wrong):
            raise GeoError(f"{wrong[0]} is no {name}", value=float(wrong[0]), remedy="leave such points out")
    if len(accuracy) and accuracy.min() < 0:
        raise GeoError(
            f"An accuracy of {accuracy.min():g} m cannot be",
            value=float(accuracy.min()),
            remedy="give a 95 % radius of 0 m or more",
        )


@dataclass(frozen=True, slots=True)
class _Points:
    x: Floats
    y: Floats
    accuracy: Floats
    kind: Ints

    def classes(self) -> list[Ints]:
        """Rows by accuracy, each class up to twice as wide as the one before, so that one poor fix does not widen
        everybody's cells.
        """
        if not len(self.x):
            return []
        step = np.zeros(len(self.x), np.int64)
        wide = self.accuracy > LEAST_REACH_M / math.sqrt(2)
        step[wide] = 1 + np.log2(self.accuracy[wide] / (LEAST_REACH_M / math.sqrt(2))).astype(np.int64)
        step = np.minimum(step, _STEPS)
        return [np.flatnonzero(step == number) for number in np.unique(step)]

    def reach(self, rows: Ints, others: Ints) -> Floats:
        apart = np.hypot(self.accuracy[rows], self.accuracy[others])
        return np.clip(apart, LEAST_REACH_M, MOST_REACH_M)

    def within(self, rows: Ints) -> Iterator[Pairs]:
        """Pairs of one class: each cell with itself and with half of its neighbours."""
        cells = _Cells(self, rows, self._cell_m(rows, rows))
        after = np.arange(1, len(rows) + 1)
        ends = cells.ends_of(cells.keys)
        yield from self._blocks(cells.rows, cells.rows, after, ends)
        yield from self._neighbours(cells, cells, _HALF)

    def between(self, rows: Ints, others: Ints) -> Iterator[Pairs]:
        """Pairs of two classes: each cell of the one with the same cell and all neighbours of the other."""
        size = self._cell_m(rows, others)
        one, two = _Cells(self, rows, size), _Cells(self, others, size)
        yield from self._neighbours(one, two, ((0, 0), *_ALL))

    def _neighbours(
        self, one: "_Cells", two: "_Cells", steps: tuple[tuple[int, int], ...]
    ) -> Iterator[Pairs]:
        for dx, dy in steps:
            wanted = one.keys + (dx * one.stride + dy)
            yield from self._blocks(one.rows, two.rows, two.starts_of(wanted), two.ends_of(wanted))

    def _cell_m(self, rows: Ints, others: Ints) -> float:
        widest = math.hypot(float(self.accuracy[rows].max()), float(self.accuracy[others].max()))
        return min(MOST_REACH_M, max(LEAST_REACH_M, widest)) * _MARGIN

    def _blocks(self, rows: Ints, others: Ints, starts: Ints, ends: Ints) -> Iterator[Pairs]:
        """Row i against others[starts[i]:ends[i]], a block of candidates at a time."""
        busy = np.flatnonzero(ends > starts)
        total = np.concatenate([[0], np.cumsum((ends - starts)[busy])])
        for low in range(0, int(total[-1]), BLOCK):
            # The candidates low to high, whichever row they belong to: a crowded row may span blocks.
            numbers = np.arange(low, min(low + BLOCK, int(total[-1])))
            owner = np.searchsorted(total, numbers, side="right") - 1
            row = busy[owner]
            yield self._close(rows[row], others[starts[row] + numbers - total[owner]])

    def _close(self, rows: Ints, others: Ints) -> Pairs:
        distance = np.hypot(self.x[rows] - self.x[others], self.y[rows] - self.y[others])
        near = np.flatnonzero(distance <= self.reach(rows, others))
        one, two = rows[near], others[near]
        return Pairs(np.minimum(one, two), np.maximum(one, two), distance[near])


class _Cells:
    """Rows sorted by one whole number for their kind and square; neighbouring squares are fixed steps away."""

    def __init__(self, points: _Points, rows: Ints, size_m: float) -> None:
        west, south = points.x.min(), points.y.min()
        column = np.floor((points.x[rows] - west) / size_m).astype(np.int64)
        row = np.floor((points.y[rows] - south) / size_m).astype(np.int64)
        # Two empty rows and columns apart, so that a step off the edge meets nobody of another column or kind.
        self.stride = int((points.y.max() - south) // size_m) + 3
        across = int((points.x.max() - west) // size_m) + 3
        if self.stride * across * (int(points.kind.max()) + 1) >= 1 << 62:
            raise GeoError(
                "These points lie too far apart", value=size_m, remedy="look for pairs one site at a time"
            )
        keys = (points.kind[rows] * across + column) * self.stride + row
        order = np.argsort(keys, kind="stable")
        self.keys: Ints = keys[order]
        self.rows: Ints = rows[order]

    def starts_of(self, keys: Ints) -> Ints:
        return np.searchsorted(self.keys, keys, side="left")

    def ends_of(self, keys: Ints) -> Ints:
        return np.searchsorted(self.keys, keys, side="right")
