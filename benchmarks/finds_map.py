"""A map of 1,000,000 finds through the ORM, on PostgreSQL and SQLite, beside PostGIS in the same run.

Run: `python -m benchmarks.finds_map [FINDS]`. Targets: finds in view at zoom 17, 14 and 11 within 1.3 times PostGIS
on both databases; clusters at zoom 6 and 9 at most half of PostGIS, and at zoom 12, where a frame holds some two
thousand finds and putting the question together is half of it, no slower. PostGIS is asked through the ORM as well:
what the ORM costs (a millisecond) says nothing about indexes. What each finds is counted against the others before
the times are believed. Without PostGIS (packages postgresql and postgis) the times stand alone.
"""

import json
import math
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

import numpy as np

from benchmarks.finds_map_data import load, make_peer, places

FINDS, FRAMES, REPEATS = 1_000_000, 15, 3
SCREEN = (1200, 800)
VIEWS, CLUSTERS, MEMBERS = (17, 14, 11), (6, 9, 12), (6, 9, 12, 14)
MOST = {"view": 1.3, "clusters": 0.5, "clusters z12": 1.0}  # times PostGIS


def frames(zoom: int) -> list[Any]:
    """What a screen of 1,200 by 800 px shows round 25 finds; at zoom 6 that is all of them."""
    from finds.map_query import Frame

    lon, lat = places(10_000)
    chosen = np.random.default_rng(zoom).choice(len(lon), FRAMES, replace=False)
    wide, high = (px * 360 / 256 / 2**zoom for px in SCREEN)
    high *= math.cos(math.radians(53))
    middles = [(float(lon[i]), float(lat[i])) for i in chosen]
    return [Frame(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2, zoom) for x, y in middles]


def in_view(frame: Any) -> int:
    from finds.map_query import EXACT, POINT_COLUMNS

    return len(list(EXACT.within(on_map(), frame).values_list(*POINT_COLUMNS)))


def in_clusters(frame: Any) -> int:
    from finds.map_query import EXACT

    return sum(row[0] for row in EXACT.clusters(on_map(), frame))


def for_members(frame: Any) -> int:
    from finds.map_query import SQUARES, SQUARES_FROM, squares

    found = squares(on_map(), frame) if frame.zoom >= SQUARES_FROM else SQUARES.clusters(on_map(), frame)
    return sum(row[0] for row in found or [])


def on_map() -> Any:
    from finds.models import Find
    from people.models import User

    user = User()
    user.__dict__["roles"] = frozenset({"member"})
    return Find.objects.on_map_for(user)


Questions = dict[str, tuple[Callable[[Any], int], int]]


def timed(questions: Questions) -> dict[str, dict[str, Any]]:
    """Median over the frames of the best of REPEATS, in milliseconds, and the counts; the questions take turns."""
    found: dict[str, dict[str, Any]] = {name: {"ms": [], "counts": []} for name in questions}
    asked = {name: frames(zoom) for name, (_, zoom) in questions.items()}
    for place in range(FRAMES):
        best = dict.fromkeys(questions, math.inf)
        for _ in range(REPEATS):
            for name, (ask, _zoom) in questions.items():
                began = time.perf_counter()
                count = ask(asked[name][place])
                best[name] = min(best[name], (time.perf_counter() - began) * 1000)
                found[name]["counts"][place:] = [count]
        for name, ms in best.items():
            found[name]["ms"].append(ms)
    return {name: {"ms": median(f["ms"]), "counts": f["counts"]} for name, f in found.items()}


def child(count: int, answers: Path, with_peer: bool) -> None:
    """Fill the database of DATABASE_URL, ask it, and leave the answers as JSON."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
    import django

    django.setup()
    began = time.perf_counter()
    load(count)
    if with_peer:
        make_peer()
    print(f"loaded in {time.perf_counter() - began:.0f} s", flush=True)
    from benchmarks.finds_map_peer import peer_in_clusters, peer_in_view

    questions: Questions = {}
    for kind, zooms, ours, peer in (
        ("view", VIEWS, in_view, peer_in_view),
        ("clusters", CLUSTERS, in_clusters, peer_in_clusters),
    ):
        for zoom in zooms:
            questions[f"{kind} z{zoom}"] = (ours, zoom)
            if with_peer:
                questions[f"PostGIS {kind} z{zoom}"] = (peer, zoom)
    questions |= {f"members z{zoom}": (for_members, zoom) for zoom in MEMBERS}
    answers.write_text(json.dumps(timed(questions)))


def server_with_postgis() -> Path | None:
    """The programs of a server that has PostGIS."""
    shared = Path("/usr/share/postgresql")
    found = [
        path
        for path in Path("/usr/lib/postgresql").glob("*/bin")
        if (shared / path.parent.name / "extension" / "postgis.control").exists()
    ]
    return max(found, key=lambda path: float(path.parent.name), default=None)


def on_postgresql(count: int, scratch: Path) -> dict[str, Any]:
    """The answers of PostgreSQL, with PostGIS where there is one; empty where there is no server."""
    from tests import run_with_pg

    user = run_with_pg.server_user()
    folder = run_with_pg.private_folder(user)
    try:
        postgis = server_with_postgis()
        if postgis is None:
            print(
                "No PostGIS on this machine (packages postgresql and postgis): the times stand without a peer."
            )
        programs = postgis or run_with_pg.server_programs(folder, user)
        if programs is None:
            print("No PostgreSQL on this machine: SQLite stands alone.")
            return {}
        return asked(
            count, scratch / "pg.json", bool(postgis), lambda c: run_with_pg.run(c, programs, folder, user)
        )
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def on_sqlite(count: int, scratch: Path) -> dict[str, Any]:
    env = os.environ | {"DATABASE_URL": f"sqlite:///{scratch}/finds.sqlite3"}
    return asked(
        count, scratch / "sqlite.json", False, lambda c: subprocess.run(c, env=env, check=False).returncode
    )


def asked(count: int, answers: Path, with_peer: bool, run: Callable[[list[str]], int]) -> dict[str, Any]:
    """Run a child of its own, so that each database has a fresh Django."""
    command = [sys.executable, "-m", "benchmarks.finds_map", str(count), str(answers)]
    if code := run([*command, "peer"] if with_peer else command):
        raise SystemExit(f"The child failed with {code}; its own message stands above.")
    found: dict[str, Any] = json.loads(answers.read_text())
    return found


def report(databases: dict[str, dict[str, Any]]) -> bool:
    """One line a question; are all targets held?"""
    peers = {name[8:]: row for name, row in databases["PostgreSQL"].items() if name.startswith("PostGIS")}
    held = True
    for database, rows in databases.items():
        for name, row in rows.items():
            if name.startswith("PostGIS"):
                continue
            line = f"{database:11} {name:13} {row['ms']:8.2f} ms  {round(np.mean(row['counts'])):8} finds"
            if peer := peers.get(name):
                times, most = row["ms"] / peer["ms"], MOST.get(name, MOST[name.split()[0]])
                held = held and times <= most
                word = "held" if times <= most else "NOT HELD"
                line += f"  PostGIS {peer['ms']:8.2f} ms  x {times:5.2f}  {word} ({most})"
            print(line)
    return held


def check_alike(databases: dict[str, dict[str, Any]]) -> None:
    """Every question of place finds as much everywhere. Raises SystemExit naming one that does not.

    PostGIS compares boxes in single precision (about half a metre here), so a few finds at an edge may differ.
    """
    first: dict[str, list[int]] = {}
    for rows in databases.values():
        for name, row in rows.items():
            known = first.setdefault(name.removeprefix("PostGIS "), row["counts"])
            if not np.allclose(known, row["counts"], rtol=0.01, atol=10):
                raise SystemExit(f"{name}: the answers differ; do not trust the times.")


def main(count: int) -> None:
    """Prints the times of all; ends with code 1 where a target is missed."""
    os.environ |= {"DJANGO_SECRET_KEY": "benchmark", "DJANGO_DEBUG": "0"}
    with tempfile.TemporaryDirectory(prefix="finds-map-") as folder:
        databases = {
            "PostgreSQL": on_postgresql(count, Path(folder)),
            "SQLite": on_sqlite(count, Path(folder)),
        }
    check_alike(databases)
    if not report(databases):
        raise SystemExit("A target is missed. On a busy machine, run it again alone.")


if __name__ == "__main__":
    words = sys.argv[1:]
    size = int(words[0]) if words else FINDS
    if len(words) > 1:
        child(size, Path(words[1]), "peer" in words[2:])
    else:
        main(size)
