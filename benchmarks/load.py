"""A club night and a rally evening: how long people wait, beside a bare Django view under the same load.

Club night: 200 members open Today and the coming hunt within a minute. Rally evening: 100 phones send 50 records and 20
photographs each, all at once. The server is gunicorn as a club runs it (gunicorn.conf.py, two workers), on this
machine's cores, which the callers use too. `python -m benchmarks.load [sqlite|postgresql] [--phones N] [--members N]`.
"""

import argparse
import asyncio
import json
import os
import platform
from functools import partial
from random import Random
from typing import Any
from uuid import uuid4

from benchmarks.load_client import Caller, Times, all_at_once
from benchmarks.load_club import club
from benchmarks.load_server import Memory, Served, served

MINUTE_S = 60
RECORDS, PHOTOS, SIDE = 50, 20, 600
A_PART = 256 * 1024
"""What a phone sends at once (field/actions/photos.py: MOST_PART)."""


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
    """Everything that one phone has: the records at once, then each photograph, begun and brought."""
    from tests import make_field

    holes = [str(uuid4()) for _ in range(RECORDS)]
    records = [make_field.hole(hunt, key=key) for key in holes]  # type: ignore[arg-type]
    body = json.dumps({"v": 1, "account": account, "records": records}).encode()
    path = "/bare/records/" if bare else "/field/records/"
    await caller.ask(f"{RECORDS} records", path, body, kind="application/json")
    rng = Random(account)
    for number in range(PHOTOS):
        data = like_no_other(rng.choice(pictures), rng)
        if bare:
            await caller.ask("photograph", "/bare/photo/", data, kind="application/octet-stream")
        else:
            await one_photo(caller, account, holes[number], data)


async def one_photo(caller: Caller, account: str, hole: str, data: bytes) -> None:
    import hashlib

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
    answer = b""
    for starts in range(0, len(data), A_PART):
        answer = await caller.ask(
            "part of a photograph", f"/field/photos/{key}/", data[starts : starts + A_PART], method="PATCH",
            head=f"Upload-Offset: {starts}", kind="application/offset+octet-stream",
        )  # fmt: skip
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
