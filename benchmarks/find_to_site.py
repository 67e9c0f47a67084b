"""Which of 10,000 sites does a find lie on? The database's box columns, the tree of boxes and plain box arrays.

The answers are compared before the times are believed. A request asks the database, one question and no memory;
an import, where one job asks many times, builds the tree. Run: python -m benchmarks.find_to_site
"""

import os
import shutil
import tempfile
import time
from collections.abc import Callable
from multiprocessing.util import Finalize
from typing import Any

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


def by_database(bounded: bool, sites: Any, lon: np.ndarray, lat: np.ndarray) -> list:
    """One query a find through the ORM, then the boundaries that come back; `bounded` by the tallest site.

    Without the bound, "south of the place" is half the table, and the index on latitude is of little use.
    """
    from django.db.models import F, Max

    from geo.measure import to_shape

    tallest = sites.aggregate(most=Max(F("max_lat") - F("min_lat")))["most"]
    found = []
    for x, y in zip(lon.tolist(), lat.tolist(), strict=True):
        near = sites.filter(min_lat__lte=y, max_lat__gte=y, min_lon__lte=x, max_lon__gte=x).order_by("pk")
        if bounded:
            near = near.filter(min_lat__gte=y - tallest)
        rows = near.values_list("pk", "boundary")
        found.append(
            next((pk for pk, shape in rows if to_shape(shape).intersects(shapely.Point(x, y))), None)
        )
    return found


def by_bounded_query(sites: Any, lon: np.ndarray, lat: np.ndarray) -> list:
    return by_database(True, sites, lon, lat)


def by_plain_query(sites: Any, lon: np.ndarray, lat: np.ndarray) -> list:
    return by_database(False, sites, lon, lat)


def prepared_database() -> tuple:
    """The same sites in the project's own table, in a database of a temporary file."""
    folder = tempfile.mkdtemp(prefix="find-to-site-")
    Finalize(None, shutil.rmtree, args=[folder], exitpriority=0)
    os.environ |= {"DATABASE_URL": f"sqlite:///{folder}/sites.sqlite3", "DJANGO_SECRET_KEY": "benchmark"}
    os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
    import django

    django.setup()
    from django.db import connection

    from permissions.models import Site

    with connection.schema_editor() as editor:
        editor.create_model(Site)
    Site.objects.bulk_create((site_row(Site, key, shape) for key, shape in make_sites()), batch_size=500)
    return Site.objects.all(), *make_finds(PROBES)


def site_row(model: Any, key: int, shape: shapely.Polygon) -> Any:
    west, south, east, north = shape.bounds
    bounds = {"min_lon": west, "min_lat": south, "max_lon": east, "max_lat": north}
    return model(pk=key, code=f"S{key}", name="", boundary=shapely.geometry.mapping(shape), **bounds)


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
        ("database, bounded box", by_bounded_query, prepared_database, PROBES),
        ("database, plain box", by_plain_query, prepared_database, PROBES),
        ("boxes as arrays", by_boxes, prepared_probes, PROBES),
        ("tree, one at a time", by_tree, prepared_probes, PROBES),
        ("tree, in bulk", by_tree_in_bulk, prepared_bulk, BULK),
    ]
    started = time.perf_counter()
    answers = {}
    for name, work, arguments, count in runs:
        seconds, extra_mb, _, answer = measure(work, arguments, repeats=1 if "plain" in name else 3)
        answers[name] = answer
        print(f"{name:22} {seconds / count * 1e6:8.1f} us a find  {seconds:7.2f} s  {extra_mb:6.1f} MB extra")
    asked_alike = [answers[name] for name, _, _, count in runs if count == PROBES]
    if any(answer != asked_alike[0] for answer in asked_alike):
        raise SystemExit("The methods disagree: do not trust the times.")
    hits = sum(a is not None for a in answers["tree, one at a time"])
    print(f"{hits} of {PROBES} found; {time.perf_counter() - started:.0f} s")


if __name__ == "__main__":
    main()
