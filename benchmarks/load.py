"""A club night and a rally evening: how long people wait, beside a bare Django view under the same load.

Club night: 200 members open Today and the coming hunt within a minute. Rally evening: 100 phones send 50 records and 20
photographs each, all at once; whoever waits longer than the field page would (30 s) was not served. The server is
gunicorn as a club runs it (gunicorn.conf.py, two workers), on this machine's cores, which the callers use too.
`python -m benchmarks.load [sqlite|postgresql] [--phones N] [--members N]`.
"""

import argparse
import asyncio
import hashlib
import json
import math
import os
import platform
import time
from collections.abc import Awaitable
from functools import partial
from random import Random
from typing import Any
from uuid import uuid4

from benchmarks.load_client import Caller, Times, all_at_once
from benchmarks.load_club import club
from benchmarks.load_server import Memory, Served, served

MINUTE_S = 60
RECORDS, PHOTOS, SIDE = 50, 20, 600


async def member(caller: Caller, hunt: int, at_s: float, bare: bool, rng: Random) -> None:
    await asyncio.sleep(at_s)
    await caller.ask("Today" if not bare else "bare", "/" if not bare else "/bare/")
    await asyncio.sleep(rng.uniform(1, 5))
    await caller.ask("the hunt" if not bare else "bare", f"/hunts/{hunt}/" if not bare else "/bare/")


def club_night(server: Served, world: dict[str, Any], members: int, *, bare: bool) -> None:
    times, rng = Times(), Random(1)
    people = [
        partial(
            member, Caller(server.port, session, times), world["hunt"], rng.uniform(0, MINUTE_S), bare, rng
        )
        for _, session in world["people"][:members]
    ]
    with Memory(server) as memory:
        seconds = all_at_once(people)
    times.report(f"Club night, {members} members{', bare view' if bare else ''}", seconds)
    print(f"  memory: {memory.words}")


async def phone(caller: Caller, account: str, hunt: int, pictures: list[bytes], bare: bool) -> None:
    """Everything that one phone has, as the field page sends it: first the records, then each photograph."""
    from tests import make_field

    holes = [str(uuid4()) for _ in range(RECORDS)]
    records = [make_field.hole(hunt, key=key) for key in holes]  # type: ignore[arg-type]
    path = "/bare/records/" if bare else "/field/records/"
    portion = Portion(5, 20, quick_s=2, slow_s=10)
    while records:
        some, records = records[: portion.size], records[portion.size :]
        body = json.dumps({"v": 1, "account": account, "records": some}).encode()
        await portion.timed(caller.ask("some records", path, body, kind="application/json"))
    rng, parts = Random(account), parts_of_photos()
    for number in range(PHOTOS):
        data = like_no_other(rng.choice(pictures), rng)
        if bare:
            await bare_photo(caller, data)
        else:
            await one_photo(caller, account, holes[number], data, parts)


class Portion:
    """How much is sent at once: more where answers come quickly, less where they are slow, as the field page has it."""

    def __init__(self, first: int, most: int, *, quick_s: float, slow_s: float) -> None:
        self.size, self._most, self._quick_s, self._slow_s = first, most, quick_s, slow_s

    async def timed(self, asking: Awaitable[bytes]) -> bytes:
        began = time.perf_counter()
        answer = await asking
        took = time.perf_counter() - began
        if took > self._slow_s:
            self.size = max(1, self.size // 2)
        if took < self._quick_s:
            self.size = min(self._most, self.size * 2)
        return answer


def parts_of_photos() -> Portion:
    return Portion(64 * 1024, 256 * 1024, quick_s=4, slow_s=math.inf)


async def bare_photo(caller: Caller, data: bytes) -> None:
    await caller.ask("photograph", "/bare/photo/", data, kind="application/octet-stream")


async def one_photo(caller: Caller, account: str, hole: str, data: bytes, parts: Portion) -> None:
    key = str(uuid4())
    said = {
        "account": account,
        "client_id": key,
        "owner": hole,
        "of": "hole",
        "shows": "after",
        "name": "p.jpg",
    }
    said |= {"size": len(data), "sha256": hashlib.sha256(data).hexdigest()}  # type: ignore[dict-item]
    await caller.ask("photograph begun", "/field/photos/", json.dumps(said).encode(), kind="application/json")
    answer, sent = b"", 0
    while sent < len(data):
        part = data[sent : sent + parts.size]
        asking = caller.ask(
            "part of a photograph", f"/field/photos/{key}/", part, method="PATCH",
            head=f"Upload-Offset: {sent}", kind="application/offset+octet-stream",
        )  # fmt: skip
        answer, sent = await parts.timed(asking), sent + len(part)
    if b'"stored"' not in answer:
        caller.times.errors["photograph not stored"] += 1


def rally(server: Served, world: dict[str, Any], phones: int, *, bare: bool) -> None:
    from field.account import account_of
    from tests.browser.storm_records import jpeg

    times, rng = Times(), Random(2)
    made = [jpeg(rng, SIDE) for _ in range(8)]
    people = []
    for person, session in world["people"][:phones]:
        caller = Caller(server.port, session, times)
        people.append(partial(phone, caller, account_of(person), world["hunt"], made, bare))
    with Memory(server) as memory:
        seconds = all_at_once(people)
    times.report(f"Rally evening, {phones} phones{', bare views' if bare else ''}", seconds)
    print(f"  memory: {memory.words}; photographs of {len(made[0]) / 1000:.0f} kB")


def like_no_other(picture: bytes, rng: Random) -> bytes:
    """The same picture with a comment of its own, so that it is another file."""
    return picture[:-2] + b"\xff\xfe\x00\x12" + rng.randbytes(16) + b"\xff\xd9"


def check(phones: int) -> None:
    """Everything that was sent is there, once."""
    from hunts.models import Hole, HolePhoto

    there = (
        Hole.objects.filter(hunt__code="LOAD").count(),
        HolePhoto.objects.filter(hole__hunt__code="LOAD").count(),
    )
    print(f"  kept: {there[0]:,} holes and {there[1]:,} photographs")
    if there != (phones * RECORDS, phones * PHOTOS):
        raise SystemExit(f"{phones * RECORDS:,} holes and {phones * PHOTOS:,} photographs were sent.")


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("vendor", nargs="?", default="sqlite", choices=["sqlite", "postgresql"])
    parser.add_argument("--members", type=int, default=200)
    parser.add_argument("--phones", type=int, default=100)
    asked = parser.parse_args()
    print(f"{platform.platform()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}, {asked.vendor}")
    with served(asked.vendor) as server:
        world = club(max(asked.members, asked.phones))
        for bare in (True, False):
            club_night(server, world, asked.members, bare=bare)
        for bare in (True, False):
            rally(server, world, asked.phones, bare=bare)
        check(asked.phones)


if __name__ == "__main__":
    main()
