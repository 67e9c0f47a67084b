"""The server as a club runs it, on SQLite or PostgreSQL, with a whole club in it; and how much memory it takes."""

import os
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
WORKERS = 2


@dataclass
class Served:
    """A server on a port; `process` started the workers."""

    port: int
    process: subprocess.Popen[bytes]
    log: Path

    def workers(self) -> list[int]:
        return children(self.process.pid)

    def memory_mb(self) -> dict[int, float]:
        """What each process holds for itself and its share of what they hold together (Pss), by process."""
        found = {pid: pss_mb(pid) for pid in (self.process.pid, *self.workers())}
        return {pid: size for pid, size in found.items() if size}


def children(pid: int) -> list[int]:
    return [int(word) for word in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def pss_mb(pid: int) -> float:
    with suppress(OSError):
        for line in Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines():
            if line.startswith("Pss:"):
                return int(line.split()[1]) / 1024
    return 0.0


@dataclass
class Memory:
    """The server's memory in all, looked at twice a second while the block runs."""

    served: Served
    sizes: list[float] = field(default_factory=list)
    _over: threading.Event = field(default_factory=threading.Event)

    def __enter__(self) -> "Memory":
        self._look()
        self._thread = threading.Thread(target=self._watch, daemon=True)
        self._thread.start()
        return self

    def __exit__(self, *error: object) -> None:
        self._over.set()
        self._thread.join()
        time.sleep(2)
        self._look()

    def _look(self) -> None:
        self.sizes.append(sum(self.served.memory_mb().values()))

    def _watch(self) -> None:
        while not self._over.wait(0.5):
            self._look()

    @property
    def words(self) -> str:
        return (
            f"{self.sizes[0]:.0f} MB before, {max(self.sizes):.0f} MB at most, {self.sizes[-1]:.0f} MB after"
        )


@contextmanager
def served(vendor: str) -> Iterator[Served]:
    """A server with tables and nothing in them; this process sees the same database."""
    from tests.faults import database
    from tests.faults.run import fill_tables, tell

    with tempfile.TemporaryDirectory(prefix="load-") as name:
        folder = Path(name)
        folder.chmod(0o711)
        there = folder / "disk"
        there.mkdir(mode=0o711)
        kept: Any = database.make(vendor, there)
        started: Served | None = None
        try:
            tell(folder, there, settings="benchmarks.load_settings")
            fill_tables()
            started = _start(folder)
            yield started
        finally:
            if started is not None:
                started.process.terminate()
                started.process.wait(timeout=60)
            kept.away()


def _start(folder: Path) -> Served:
    with closing(socket.socket()) as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
    command = [sys.executable, "-m", "gunicorn", "-w", str(WORKERS), "-b", f"127.0.0.1:{port}", "config.wsgi"]
    log = folder / "server.log"
    with log.open("ab") as file:
        process = subprocess.Popen(
            command, cwd=ROOT, env=os.environ | {"FAULTS_SERVER": ""}, stdout=file, stderr=file
        )
    ends = time.monotonic() + 60
    while not _listens(port):
        assert time.monotonic() < ends, log.read_text()[-3000:]
        assert process.poll() is None, log.read_text()[-3000:]
        time.sleep(0.1)
    return Served(port, process, log)


def _listens(port: int) -> bool:
    with closing(socket.socket()) as asking:
        return asking.connect_ex(("127.0.0.1", port)) == 0
