"""A million finds for benchmarks/finds_map.py: one find of the test makers, copied with places of its own.

The layout: 10,000 clustered sites over 6.5 by 6.7 degrees.
"""

import math
from collections.abc import Iterator
from typing import Any

import numpy as np

SITES, SEED = 10_000, 5
WEST, SOUTH, ACROSS_DEG, UP_DEG = -6.0, 50.0, 6.5, 6.7
STAGE = (
    "CREATE TABLE stage (n integer, client varchar(32), lon double precision, lat double precision, cell bigint, "
    "square_lon double precision, square_lat double precision, square_cell bigint, "
    "is_locked integer, is_gone integer)"
)
STAGED = "INSERT INTO stage VALUES (%s, %s, %s, %s, %s, %s, %s, %s, %s, %s)"


def places(count: int) -> tuple[np.ndarray, np.ndarray]:
    """Finds of 10,000 sites in clusters, ten a hunt and hunts in no order; a few sites hold most of them."""
    rng = np.random.default_rng(SEED)
    site = rng.uniform((WEST, SOUTH), (WEST + ACROSS_DEG, SOUTH + UP_DEG), size=(SITES, 2))
    worth = rng.lognormal(sigma=1.7, size=SITES)
    of = np.repeat(rng.choice(SITES, size=-(-count // 10), p=worth / worth.sum()), 10)[:count]
    lon, lat = (site[of] + rng.normal(scale=(0.0015, 0.0009), size=(count, 2))).T
    return lon, lat


def cells(lon: np.ndarray, lat: np.ndarray) -> np.ndarray:
    """geo.morton.cell_of for arrays."""
    tiles = 1 << 26
    x = ((lon + 180) / 360 * tiles).astype(np.int64)
    y = ((0.5 - np.arcsinh(np.tan(np.radians(lat))) / (2 * math.pi)) * tiles).astype(np.int64)
    found = np.zeros(len(lon), dtype=np.int64)
    for bit in range(26):
        found |= ((x >> bit & 1) << (2 * bit)) | ((y >> bit & 1) << (2 * bit + 1))
    return found


def rows(count: int) -> Iterator[tuple]:
    """Rows of the staging table. Squares are drawn on degrees here: a million on the National Grid take minutes."""
    lon, lat = places(count)
    square_lon, square_lat = (np.floor(lon / 0.015) + 0.5) * 0.015, (np.floor(lat / 0.009) + 0.5) * 0.009
    rng = np.random.default_rng(SEED + 1)
    locked, gone = rng.random(count) < 0.01, rng.random(count) < 0.005
    columns = (lon, lat, cells(lon, lat), square_lon, square_lat, cells(square_lon, square_lat), locked, gone)
    for start in range(0, count, 50_000):
        part = [column[start : start + 50_000].tolist() for column in columns]
        for n, values in enumerate(zip(*part, strict=True), start + 2):
            yield n, f"{n:032x}", *values[:6], int(values[6]), int(values[7])


def load(count: int) -> None:
    """One find of the test makers, copied a million times with its own number and place."""
    from django.core.management import call_command
    from django.db import connection

    from finds.models import Find
    from tests import make

    call_command("migrate", verbosity=0)
    find = make.find(make.hunt(), make.person())
    with connection.schema_editor() as editor:
        for index in Find._meta.indexes:
            editor.remove_index(Find, index)
    with connection.cursor() as cursor:
        cursor.execute(STAGE)
        stage(cursor, count)
        copy_find(cursor, find)
        cursor.execute("DROP TABLE stage")
    Find._base_manager.filter(pk=find.pk).update(withdrawn_at=find.recorded_at)
    with connection.schema_editor() as editor:
        for index in Find._meta.indexes:
            editor.add_index(Find, index)
    with connection.cursor() as cursor:
        cursor.execute("VACUUM ANALYZE finds_find" if connection.vendor == "postgresql" else "ANALYZE")


def stage(cursor: Any, count: int) -> None:
    from django.db import connection, transaction

    if connection.vendor == "postgresql":
        with cursor.copy("COPY stage FROM STDIN") as copy:
            for row in rows(count):
                copy.write_row(row)
        return
    with transaction.atomic():
        cursor.executemany(STAGED, rows(count))


def copy_find(cursor: Any, find: Any) -> None:
    from django.db import connection

    from finds.models import Find
    from finds.squares import WIDE_SHIFT

    is_pg = connection.vendor == "postgresql"
    cursor.execute(
        "INSERT INTO finds_findnumber (id, year, serial, void_why, given_at) "
        "SELECT 1000 + n, 1, n, '', given_at FROM finds_findnumber, stage WHERE id = %s",
        [find.number_row_id],
    )
    own = {
        "id": "1000 + n",
        "number_row_id": "1000 + n",
        "number": "'N' || n",
        "client_id": "CAST(client AS uuid)" if is_pg else "client",
        "wide_cell": f"stage.cell >> {WIDE_SHIFT}",
        "square_wide_cell": f"stage.square_cell >> {WIDE_SHIFT}",
        "locked": "is_locked = 1",
        "withdrawn_at": "CASE WHEN is_gone = 1 THEN recorded_at END",
    }
    own |= {
        name: f"stage.{name}" for name in ("lon", "lat", "cell", "square_lon", "square_lat", "square_cell")
    }
    names = [f.column for f in Find._meta.concrete_fields]
    quoted = [connection.ops.quote_name(name) for name in names]
    chosen = [own.get(name, f"finds_find.{quote}") for name, quote in zip(names, quoted, strict=True)]
    cursor.execute(
        f"INSERT INTO finds_find ({', '.join(quoted)}) SELECT {', '.join(chosen)} FROM finds_find, stage "
        "WHERE finds_find.id = %s",
        [find.pk],
    )


def make_peer() -> None:
    """The same rows with a geometry and a GiST index of the same condition."""
    from django.db import connection

    with connection.cursor() as cursor:
        cursor.execute("CREATE EXTENSION postgis")
        cursor.execute(
            "CREATE TABLE peer AS SELECT *, ST_SetSRID(ST_MakePoint(lon, lat), 4326) AS geom "
            "FROM finds_find ORDER BY id"
        )
        cursor.execute("CREATE INDEX ON peer USING gist (geom) WHERE NOT locked AND withdrawn_at IS NULL")
        cursor.execute("VACUUM ANALYZE peer")
