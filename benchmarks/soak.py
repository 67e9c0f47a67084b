"""Mixed use for some minutes: does a worker grow? `python -m benchmarks.soak [sqlite|postgresql] [--minutes N]`.

Members look at pages, log holes and send photographs at a steady rate. The first third is warming up; over the rest
each worker's memory is fitted with a line. Growth is flagged where it is more than 30 MB an hour and no noise. Before
it the same people ask bare views of the same server as often, for a third of the time.
"""

import argparse
import asyncio
import json
import os
import platform
import time
from collections import defaultdict
from functools import partial
from random import Random
from typing import Any
from uuid import uuid4

import numpy as np

from benchmarks.load import bare_photo, like_no_other, one_photo, parts_of_photos
from benchmarks.load_client import Caller, Times, all_at_once
from benchmarks.load_club import club
from benchmarks.load_server import Served, served

PEOPLE, EVERY_S = 20, 2.0
GROWS_MB_AN_HOUR = 30.0
BARE = ("/bare/",)
PAGES = ("/", "/hunts/{hunt}/", "/finds/", "/hunts/{hunt}/holes/", "/hunts/", "/field/me/", "/finds/custody/")


async def somebody(
    caller: Caller, account: str, hunt: int, picture: bytes, ends: float, rng: Random, *, bare: bool
) -> None:
    """A page, or a hole with or without a photograph, and a breath, until it is over."""
    from tests import make_field

    parts = parts_of_photos()
    while time.monotonic() < ends:
        await asyncio.sleep(rng.expovariate(1 / EVERY_S))
        if rng.random() < 0.75:
            await caller.ask("page", rng.choice(BARE if bare else PAGES).format(hunt=hunt))
            continue
        hole = str(uuid4())
        sent = {"v": 1, "account": account, "records": [make_field.hole(hunt, key=hole)]}  # type: ignore[arg-type]
        path = "/bare/records/" if bare else "/field/records/"
        await caller.ask("record", path, json.dumps(sent).encode(), kind="application/json")
        if rng.random() < 0.3:
            data = like_no_other(picture, rng)
            await (bare_photo(caller, data) if bare else one_photo(caller, account, hole, data, parts))


async def watch(server: Served, ends: float, sizes: dict[int, list[tuple[float, float]]]) -> None:
    began = time.monotonic()
    while time.monotonic() < ends:
        for pid, size in server.memory_mb().items():
            sizes[pid].append((time.monotonic() - began, size))
        await asyncio.sleep(2)


def judge(sizes: dict[int, list[tuple[float, float]]]) -> bool:
    """One line a process; has any of them grown?"""
    grown = False
    for pid, rows in sizes.items():
        seconds, mb = (np.array(column) for column in zip(*rows, strict=True))
        late = seconds > seconds[-1] / 3
        (slope, _), spread = np.polyfit(seconds[late], mb[late], 1, cov=True)
        an_hour, error = slope * 3600, float(np.sqrt(spread[0][0])) * 3600
        grows = an_hour > GROWS_MB_AN_HOUR and an_hour > 3 * error and mb[-1] > mb[late][0] * 1.05
        grown = grown or bool(grows)
        words = "GROWS" if grows else "steady"
        print(f"  process {pid}: {mb[0]:.0f} MB at first, {mb[late][0]:.0f} warm, {mb[-1]:.0f} at last; "
              f"{an_hour:+.0f} ± {error:.0f} MB an hour, {words}")  # fmt: skip
    return grown


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("vendor", nargs="?", default="sqlite", choices=["sqlite", "postgresql"])
    parser.add_argument("--minutes", type=float, default=3)
    asked = parser.parse_args()
    print(f"{platform.platform()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}, {asked.vendor}")
    with served(asked.vendor) as server:
        world = club(PEOPLE)
        times, sizes, seconds = play(server, world, asked.minutes * 20, bare=True)
        times.report(f"{asked.minutes / 3:.1f} minutes of {PEOPLE} people, bare views", seconds)
        judge(sizes)
        times, sizes, seconds = play(server, world, asked.minutes * 60, bare=False)
        times.report(f"{asked.minutes:g} minutes of {PEOPLE} people", seconds)
        if judge(sizes):
            raise SystemExit(
                "A worker grows. Run it for longer, alone on the machine, and look for what it keeps."
            )


def play(
    server: Served, world: dict[str, Any], seconds: float, *, bare: bool
) -> tuple[Times, dict[int, Any], float]:
    from field.account import account_of
    from tests.browser.storm_records import jpeg

    times, rng, sizes = Times(), Random(3), defaultdict(list)
    picture, ends = jpeg(rng, 500), time.monotonic() + seconds
    people = [
        partial(
            somebody,
            Caller(server.port, session, times),
            account_of(person),
            world["hunt"],
            picture,
            ends,
            Random(n),
            bare=bare,
        )
        for n, (person, session) in enumerate(world["people"])
    ]
    taken = all_at_once([*people, partial(watch, server, ends, sizes)])
    return times, sizes, taken


if __name__ == "__main__":
    main()
