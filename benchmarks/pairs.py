"""Pairs among 100,000 finds on 500 sites: ours, shapely's STRtree and scipy's cKDTree in the same run.

Facts as geo.md section 4 has them: 200 kinds of object (a few common, many rare), date ranges, pairs of like kind
whose dates overlap. Once with every place known to one accuracy, once with a mix. The answers are compared before
the times are believed. Run: python -m benchmarks.pairs
"""

import functools

import numpy as np
import shapely
from scipy.spatial import cKDTree

from benchmarks.measure import measure
from geo.pairs import LEAST_REACH_M, MOST_REACH_M, pair_blocks

FINDS, SITES, KINDS = 100_000, 500, 200
SEED = 5


def finds(mixed: bool) -> tuple:
    """x, y, accuracy, kind, first year, last year."""
    rng = np.random.default_rng(SEED)
    middles = rng.uniform(0, 60_000, (SITES, 2))
    site = rng.integers(SITES, size=FINDS)
    x, y = (middles[site] + rng.uniform(-150, 150, (FINDS, 2))).T
    accuracy = rng.choice([1.0, 3.0, 4.0, 5.0, 8.0, 20.0], FINDS) if mixed else np.full(FINDS, 5 / np.sqrt(2))
    kind = np.minimum(rng.zipf(1.5, FINDS), KINDS).astype(np.int64)
    first = rng.integers(-800, 1900, FINDS)
    return x, y, accuracy, kind, first, first + rng.integers(10, 300, FINDS)


def _reach(accuracy: np.ndarray, one: np.ndarray, two: np.ndarray) -> np.ndarray:
    return np.clip(np.hypot(accuracy[one], accuracy[two]), LEAST_REACH_M, MOST_REACH_M)


def _widest(accuracy: np.ndarray) -> float:
    return float(min(MOST_REACH_M, max(LEAST_REACH_M, np.hypot(accuracy.max(), accuracy.max()))))


def _answer(one: np.ndarray, two: np.ndarray) -> tuple[int, int]:
    """How many pairs, and a sum that two different answers will not share."""
    low, high = np.minimum(one, two).astype(object), np.maximum(one, two).astype(object)
    return len(one), int((low * FINDS + high).sum())


def ours(x, y, accuracy, kind, first, last):
    kept = []
    for block in pair_blocks(x, y, accuracy, kind=kind):
        one, two = block.first, block.second
        alike = (first[one] <= last[two]) & (first[two] <= last[one])
        kept.append((one[alike], two[alike]))
    return _answer(*(np.concatenate(parts) for parts in zip(*kept, strict=True)))


def _filtered(one, two, x, y, accuracy, kind, first, last):
    alike = (kind[one] == kind[two]) & (first[one] <= last[two]) & (first[two] <= last[one])
    one, two = one[alike], two[alike]
    near = np.hypot(x[one] - x[two], y[one] - y[two]) <= _reach(accuracy, one, two)
    return _answer(one[near], two[near])


def by_strtree(x, y, accuracy, kind, first, last):
    points = shapely.points(x, y)
    one, two = shapely.STRtree(points).query(points, predicate="dwithin", distance=_widest(accuracy) + 1e-6)
    once = one < two
    return _filtered(one[once], two[once], x, y, accuracy, kind, first, last)


def by_scipy(x, y, accuracy, kind, first, last):
    tree = cKDTree(np.column_stack([x, y]))
    found = tree.query_pairs(_widest(accuracy) + 1e-6, output_type="ndarray")
    return _filtered(found[:, 0], found[:, 1], x, y, accuracy, kind, first, last)


def main() -> None:
    """Prints one line a method; stops if two methods disagree."""
    for words, mixed in (("all known to 3.5 m (reach 5 m)", False), ("1 to 20 m, mixed", True)):
        prepared = functools.partial(finds, mixed)
        runs = {work.__name__: measure(work, prepared, 5) for work in (ours, by_strtree, by_scipy)}
        peer = runs["by_strtree"][0]
        answers = {run[3] for run in runs.values()}
        if len(answers) > 1:
            raise SystemExit(f"The methods disagree: {runs}")
        print(f"{FINDS:,} finds, {words}: {answers.pop()[0]:,} pairs")
        for name, (seconds, extra_mb, _, _) in runs.items():
            print(
                f"  {name:10} {seconds * 1e3:6.0f} ms  {seconds / peer:5.2f} x STRtree  {extra_mb:6.1f} MB extra"
            )


if __name__ == "__main__":
    main()
