"""Dates known only as ranges, spread evenly over bins of years, with a band for what chance alone would do.

Source: J. H. Ratcliffe, Aoristic analysis: the spatial interpretation of unspecific temporal events, International
Journal of Geographical Information Science 14, 2000; I. Johnson, Aoristic analysis, 2004; E. R. Crema, Modelling
temporal uncertainty in archaeological analysis, Journal of Archaeological Method and Theory 19, 2012 (from memory).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo.errors import GeoError

Floats = NDArray[np.float64]

RUNS = 999
SEED = 1066
BAND = (0.025, 0.975)  # of the runs: what 95 in 100 of them lie between
WIDTHS = (1, 5, 10, 25, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 50_000, 100_000)


def astronomical(year: int) -> int:
    """A historian's year (1 BC is -1) as the astronomers count, with a year 0: 1 BC is 0, 2 BC is -1.

    Raises GeoError for the year 0, which no historian has. Source: ISO 8601-1:2019, 4.3.2 and its note on year 0.
    """
    if year == 0:
        raise GeoError("There is no year 0", value=year, remedy="give -1 for 1 BC or 1 for AD 1")
    return year if year > 0 else year + 1


def historical(year: int) -> int:
    """The other way: 0 becomes -1 (1 BC)."""
    return year if year > 0 else year - 1


def weights(spans: ArrayLike, edges: ArrayLike) -> Floats:
    """The share of each span (n, 2) that falls into each bin between `edges` (b + 1), shape (n, b).

    Spans and bins are half-open, from the first value up to the second, in any one unit of time; a span whose two
    ends are the same is one unit wide. Raises GeoError for a span that ends before it begins, or edges not rising.
    """
    ends = np.asarray(spans, dtype=float).reshape(-1, 2)
    bounds = np.asarray(edges, dtype=float)
    if len(bounds) < 2 or (np.diff(bounds) <= 0).any():
        raise GeoError("The bins' edges do not rise", value=bounds.tolist(), remedy="give them in order")
    first, last = ends[:, 0], np.where(ends[:, 1] == ends[:, 0], ends[:, 0] + 1, ends[:, 1])
    if (last < first).any():
        wrong = ends[last < first][0].tolist()
        what = f"The span {wrong[0]:g} to {wrong[1]:g} ends before it begins"
        raise GeoError(what, value=wrong, remedy="give the earlier end first")
    inside = np.minimum(last[:, None], bounds[1:]) - np.maximum(first[:, None], bounds[:-1])
    shares: Floats = np.clip(inside, 0, None) / (last - first)[:, None]
    return shares


def edges_for(spans: ArrayLike, *, most: int = 24) -> list[int]:
    """Edges of at most `most` bins of a round width that hold every span; aligned on multiples of the width."""
    ends = np.asarray(spans, dtype=float).reshape(-1, 2)
    first, last = int(ends[:, 0].min()), int(max(ends[:, 1].max(), ends[:, 0].max() + 1))
    for width in WIDTHS:
        start, stop = first // width * width, -(-last // width) * width
        if stop - start <= most * width:
            break
    return list(range(start, stop + width, width))


@dataclass(frozen=True)
class Chart:
    """Expected counts a bin with the band between two quantiles of `runs` drawings; edges in astronomical years."""

    edges: tuple[int, ...]
    expected: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    runs: int


def chart(
    spans: Sequence[tuple[int, int]],
    counts: Sequence[int],
    edges: Sequence[int],
    *,
    runs: int = RUNS,
    seed: int = SEED,
) -> Chart:
    """The aoristic sum of spans, each held by `counts` finds, and its band.

    For the band every find is given one date of its span by chance, `runs` times, and the finds of each bin are
    counted; the band runs from the 2.5 % to the 97.5 % quantile. It shows what the ranges leave open, not how
    well the finds stand for what was lost. The seed is fixed: the same finds give the same band. Cost: runs × spans ×
    bins, however many finds share a span. Raises GeoError as `weights` does.
    """
    shares = weights(spans, edges)
    many = np.asarray(counts, dtype=np.int64)
    rng = np.random.default_rng(seed)
    drawn = np.zeros((runs, len(edges) - 1), dtype=np.int64)
    for row, count in zip(shares, many, strict=True):
        outside = max(0.0, 1 - math.fsum(row.tolist()))
        chances = np.append(row, outside)
        drawn += rng.multinomial(count, chances / chances.sum(), size=runs)[:, :-1]
    low, high = np.quantile(drawn, BAND, axis=0).tolist()
    expected = (many @ shares).tolist()
    return Chart(tuple(edges), tuple(expected), tuple(low), tuple(high), runs)
