"""The club's server as a process of its own on a database file: it can be killed at any moment and started again."""

import json
import os
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
STARTS_WITHIN_S = 60


class ServerProcess:
    """gunicorn with two workers; `rows` reads the file that it writes, past everything of ours."""

    def __init__(self, folder: Path, *, ahead_s: float = 0, as_in_production: bool = False) -> None:
        self.folder, self.as_in_production = folder, as_in_production
        self.static = folder / "static"
        shutil.copytree(ROOT / "static", self.static)
        with closing(socket.socket()) as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}"
        self.ahead_s = ahead_s
        self.process: subprocess.Popen[bytes] | None = None
        self.workers = folder / "workers"
        self.workers.mkdir()
        if as_in_production:  # static files under hashed names, compressed
            self._run("-m", "django", "collectstatic", "--noinput", "-v0")
        self.world: dict[str, Any] = json.loads(self._run("-m", "tests.browser.server_world"))

    @property
    def env(self) -> dict[str, str]:
        given = {
            "DJANGO_SETTINGS_MODULE": "tests.browser.server_settings",
            "DJANGO_SECRET_KEY": "a-throw-away-key-for-a-server-of-the-tests-alone-0123456789abcdef",
            "DATABASE_URL": f"sqlite:///{self.folder}/club.sqlite3",
            "MEDIA_ROOT": str(self.folder / "media"),
            "STORM_STATIC": str(self.static),
            "STATIC_ROOT": str(self.folder / "collected"),
            "STORM_HASHED": "1" if self.as_in_production else "",
            "STORM_AHEAD_S": str(self.ahead_s),
            "STORM_WORKERS": str(self.workers),
            "LOG_LEVEL": "WARNING",
            "PYTHONWARNINGS": "ignore",
        }
        return os.environ | given

    def _run(self, *words: str) -> str:
        done = subprocess.run(
            [sys.executable, *words], cwd=ROOT, env=self.env, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    def start(self) -> None:
        """Start it, and wait until it answers."""
        config = ROOT / "tests" / "browser" / "server_gunicorn.py"
        command = [sys.executable, "-m", "gunicorn", "-c", str(config), "-b", f"127.0.0.1:{self.port}"]
        with (self.folder / "server.log").open("ab") as log:
            self.process = subprocess.Popen(
                command, cwd=ROOT, env=self.env, stdout=log, stderr=log, start_new_session=True
            )
        self._wait(self._answers)

    def _answers(self) -> bool:
        assert self.process is not None
        assert self.process.poll() is None, self.log()[-2000:]
        try:
            with urllib.request.urlopen(f"{self.url}/field/", timeout=STARTS_WITHIN_S) as answer:
                return answer.status == 200
        except OSError:
            return False

    def _wait(self, done: Callable[[], bool]) -> None:
        ends = time.monotonic() + STARTS_WITHIN_S
        while not done():
            assert time.monotonic() < ends, "the server did not start or end in time"
            time.sleep(0.05)

    def kill_workers(self) -> None:
        """`kill -9` for every process that answers; the one that started them puts new ones in their place."""
        for worker in list(self.workers.iterdir()):
            worker.unlink()
            with suppress(ProcessLookupError):
                os.kill(int(worker.name), signal.SIGKILL)

    def kill(self) -> None:
        """`kill -9` for all of it: nothing is finished, nobody is told, and nobody answers any more."""
        if self.process is None:
            return
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        self.process = None
        self._wait(lambda: not self._listens())
        for worker in list(self.workers.iterdir()):
            worker.unlink()

    def _listens(self) -> bool:
        with closing(socket.socket()) as asking:
            return asking.connect_ex(("127.0.0.1", self.port)) == 0

    def rows(self, query: str, *values: Any) -> list[Any]:
        with closing(
            sqlite3.connect(f"file:{self.folder}/club.sqlite3?mode=ro", uri=True, timeout=20)
        ) as file:
            return file.execute(query, values).fetchall()

    def set_hunt(self, state: str) -> None:
        """What a leader does on another page meanwhile."""
        with closing(sqlite3.connect(f"{self.folder}/club.sqlite3", timeout=20)) as file, file:
            file.execute("UPDATE hunts_hunt SET state = ? WHERE id = ?", (state, self.world["hunt"]))

    def log(self) -> str:
        return (self.folder / "server.log").read_text()
