"""The club's server for the fault runs: gunicorn with several workers, which can be killed, frozen and begun again."""

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parents[2]
WORKERS = 3
WITHIN_S = 60
LETS_GO = "let go"


class Server:
    """`folder` is on the machine's own disk and holds what the tests themselves write; `disk` may be full."""

    def __init__(self, folder: Path, workers: int = WORKERS) -> None:
        self.folder, self.count = folder, workers
        self.workers = folder / "workers"
        self.workers.mkdir(exist_ok=True)
        with closing(socket.socket()) as free:
            free.bind(("127.0.0.1", 0))
            self.port: int = free.getsockname()[1]
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        config = ROOT / "tests" / "browser" / "server_gunicorn.py"
        command = [sys.executable, "-m", "gunicorn", "-c", str(config), "-w", str(self.count)]
        env = os.environ | {"FAULTS_SERVER": "1", "STORM_WORKERS": str(self.workers)}
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                [*command, "-b", f"127.0.0.1:{self.port}"],
                cwd=ROOT,
                env=env,
                stdout=log,
                stderr=log,
                start_new_session=True,
            )
        self._wait(lambda: self._listens() and len(self.worker_ids()) >= self.count)

    @property
    def log(self) -> Path:
        return self.folder / "server.log"

    @property
    def runs(self) -> bool:
        return self.process is not None and self.process.poll() is None

    def worker_ids(self) -> list[int]:
        return [int(path.name) for path in list(self.workers.iterdir())]

    def kill_one(self, rng: Random) -> None:
        """`kill -9` for one of those that answer; the one that started it puts a new one in its place."""
        if ids := self.worker_ids():
            self._kill(rng.choice(ids))

    def kill_workers(self) -> None:
        for worker in self.worker_ids():
            self._kill(worker)

    def _kill(self, worker: int) -> None:
        (self.workers / str(worker)).unlink(missing_ok=True)
        with suppress(ProcessLookupError):
            os.kill(worker, signal.SIGKILL)

    def freeze(self, worker: int, seconds: float) -> None:
        """One of those that answer stands still, with whatever locks it holds, and goes on."""
        with suppress(ProcessLookupError):
            os.kill(worker, signal.SIGSTOP)
            time.sleep(seconds)
            os.kill(worker, signal.SIGCONT)

    def kill(self) -> None:
        """`kill -9` for all of it: nothing is finished and nobody answers any more."""
        if self.process is None:
            return
        with suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        self.process = None
        self._wait(lambda: not self._listens())
        for worker in list(self.workers.iterdir()):
            worker.unlink(missing_ok=True)

    def _listens(self) -> bool:
        assert self.process is None or self.process.poll() is None, self.log.read_text()[-3000:]
        with closing(socket.socket()) as asking:
            return asking.connect_ex(("127.0.0.1", self.port)) == 0

    def _wait(self, done: Callable[[], bool]) -> None:
        ends = time.monotonic() + WITHIN_S
        while not done():
            assert time.monotonic() < ends, "the server did not start or end in time"
            time.sleep(0.02)
