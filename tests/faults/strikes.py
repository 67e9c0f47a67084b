"""What hits the program while people use it, and when a request may fail because of it."""

import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from typing import Any

from tests.faults.database import PostgresServer, SqliteFile
from tests.faults.disk import ShortFiles, SmallDisk
from tests.faults.server import Server

AFTER_S = 1.5
"""A request that began before a fault, or a moment after it, may still be answered 5xx because of it."""
JUMPS_S = (-7200, -600, -7, 240, 5400, 26 * 3600)


class Weather:
    """The strikes of one batch, counted, and the times in which an answer of 5xx is to be expected."""

    def __init__(
        self, server: Server, database: SqliteFile | PostgresServer, disk: SmallDisk | ShortFiles, clock: Path
    ) -> None:
        self.server, self.database, self.disk, self.clock = server, database, disk, clock
        self.counts: Counter[str] = Counter()
        self.bad: list[list[float]] = []
        self._lock = threading.Lock()
        self.set_clock(0)

    def may_fail(self, began: float) -> bool:
        """May a request that began then and ended now have failed by a fault of the database or the disk?"""
        with self._lock:
            return any(start <= time.monotonic() and began <= end + AFTER_S for start, end in self.bad)

    @contextmanager
    def _failing(self) -> Iterator[None]:
        span = [time.monotonic(), float("inf")]
        with self._lock:
            self.bad.append(span)
        try:
            yield
        finally:
            span[1] = time.monotonic()

    def set_clock(self, seconds: float) -> None:
        new = self.clock.with_suffix(".new")
        new.write_text(str(seconds))
        new.replace(self.clock)

    def some(self, rng: Random) -> tuple[str, Callable[[], Any]]:
        """The next strike."""
        every: list[tuple[int, str, Callable[[], Any]]] = [
            (30, "worker killed", lambda: self.server.kill_one(rng)),
            (14, "all workers killed", self.server.kill_workers),
            (8, "server killed", lambda: self._server_dies(rng.uniform(0, 0.3))),
            (16, "database hit", lambda: self._database(rng.uniform(0.05, 0.5))),
            (16, "disk full", lambda: self._full_disk(rng.uniform(0.1, 0.5))),
            (16, "clock jumped", lambda: self.set_clock(rng.choice(JUMPS_S))),
            (10, "worker frozen", lambda: self._freeze(rng)),
        ]
        weights = [weight for weight, _, _ in every]
        _, name, strike = rng.choices(every, weights)[0]
        return name, strike

    def strike(self, name: str, hit: Callable[[], Any]) -> None:
        self.counts[name] += 1
        hit()

    def _server_dies(self, seconds: float) -> None:
        self.server.kill()
        time.sleep(seconds)
        self.server.start()

    def _database(self, seconds: float) -> None:
        if self.database.vendor == "sqlite":
            self.database.hit(seconds)  # writers wait for a lock: none of them may fail
            return
        with self._failing():
            self.database.hit(seconds)

    def _full_disk(self, seconds: float) -> None:
        with self._failing():
            self.disk.fill()
            time.sleep(seconds)
            self.disk.free()
            self.database.start()

    def _freeze(self, rng: Random) -> None:
        if ids := self.server.worker_ids():
            self.server.freeze(rng.choice(ids), rng.uniform(0.1, 0.6))

    def clear(self) -> None:
        """Fair weather: everything runs and the clock is right."""
        self.disk.free()
        self.database.start()
        self.set_clock(0)
        if not self.server.runs:
            self.server.kill()
            self.server.start()
        with self._lock:
            self.bad = [span for span in self.bad if span[1] > time.monotonic() - AFTER_S]
