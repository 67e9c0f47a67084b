"""Which of 10,000 sites does a find lie on? The tree of boxes against plain box arrays, same answers checked
first.

Run: python -m benchmarks.find_to_site. The request path asks the database instead (bounded box columns); this
is for imports and re-assignment, where one job asks many times.
"""

import time
from collections.abc import Callable

import numpy as np
import shapely

from benchmarks.measure import measure
from geo.sites import SiteIndex

SITES, PROBES, BULK = 10_000, 2_000, 100_000
SEED = 20


def make_sites() -> list[tuple[int, shapely.Polygon]]:
    """Fields of 3 to 30 ha in clusters over 6.5 by 6.7 degrees; one in fifty has 1,500 vertices."""
    rng = np.random.default_rng(SEED)
    farms = rng.uniform((-6.0, 50.0), (0.5, 56.7), size=(600, 2))
    sites = []
    for key in range(SITES):
        lon, lat = farms[rng.integers(len(farms))] + rng.normal(scale=0.02, size=2)
        count = 1_500 if key % 50 == 0 else int(rng.integers(12, 90))
        angle = np.sort(rng.uniform(0, 2 * np.pi, count))
        radius = rng.uniform(0.001, 0.003) * (1 + 0.2 * np.sin(3 * angle))
        sites.append(
            (
                key,
                shapely.Polygon(
                    np.column_stack([lon + 1.7 * radius * np.cos(angle), lat + radius * np.sin(angle)])
                ),
            )
        )
    return sites


def make_finds(count: int) -> tuple[np.ndarray, np.ndarray]:
    """Half of them near a site's middle, half anywhere."""
    rng = np.random.default_rng(SEED + 1)
    centres = np.array([s.centroid.coords[0] for _, s in make_sites()])
    near = centres[rng.integers(SITES, size=count // 2)] + rng.normal(scale=0.002, size=(count // 2, 2))
    far = rng.uniform((-6.0, 50.0), (0.5, 56.7), size=(count - count // 2, 2))
    lon, lat = np.vstack([near, far]).T
    return lon, lat


def by_tree(sites: list, lon: np.ndarray, lat: np.ndarray) -> list:
    """One question at a time of a tree built for the job."""
    index = SiteIndex(sites)
    return [next(iter(index.at(x, y)), None) for x, y in zip(lon, lat, strict=True)]


def by_tree_in_bulk(sites: list, lon: np.ndarray, lat: np.ndarray) -> list:
    """All questions at once."""
    return SiteIndex(sites).find_all(lon, lat)


def by_boxes(sites: list, lon: np.ndarray, lat: np.ndarray) -> list:
    """Four comparisons on arrays of bounds, then the prepared polygons that are left."""
    shapes = np.array([shape for _, shape in sites], dtype=object)
    shapely.prepare(shapes)
    west, south, east, north = shapely.bounds(shapes).T
    found = []
    for x, y in zip(lon, lat, strict=True):
        near = np.flatnonzero((west <= x) & (x <= east) & (south <= y) & (y <= north))
        hits = near[shapely.intersects_xy(shapes[near], x, y)]
        found.append(sites[hits[0]][0] if len(hits) else None)
    return found


def prepared(count: int) -> tuple:
    """The arguments of one method."""
    return make_sites(), *make_finds(count)


def prepared_probes() -> tuple:
    return prepared(PROBES)


def prepared_bulk() -> tuple:
    return prepared(BULK)


def main() -> None:
    """Prints one line a method; stops if two methods disagree."""
    runs: list[tuple[str, Callable, Callable, int]] = [
        ("boxes as arrays", by_boxes, prepared_probes, PROBES),
        ("tree, one at a time", by_tree, prepared_probes, PROBES),
        ("tree, in bulk", by_tree_in_bulk, prepared_bulk, BULK),
    ]
    started = time.perf_counter()
    answers = {}
    for name, work, arguments, count in runs:
        seconds, extra_mb, _, answer = measure(work, arguments)
        answers[name] = answer
        print(f"{name:22} {seconds / count * 1e6:8.1f} us a find  {seconds:7.2f} s  {extra_mb:6.1f} MB extra")
    if answers["boxes as arrays"] != answers["tree, one at a time"]:
        raise SystemExit("The methods disagree: do not trust the times.")
    hits = sum(a is not None for a in answers["tree, one at a time"])
    print(f"{hits} of {PROBES} found; {time.perf_counter() - started:.0f} s")


if __name__ == "__main__":
    main()
