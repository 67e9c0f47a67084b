"""The two databases that a struck server writes to, and how each is hit."""

import os
import shutil
import sqlite3
import time
from contextlib import closing
from pathlib import Path

from tests.run_with_pg import call, private_folder, server_programs, server_user

WAL = "-c max_wal_size=64MB -c min_wal_size=32MB -c wal_recycle=off"
KEPT = "-c fsync=off -c synchronous_commit=on -c full_page_writes=off"
"""A process that dies loses nothing that the system was given, so `fsync` may be off; a commit that is not awaited
could be lost with the process, so it is awaited."""


class SqliteFile:
    vendor = "sqlite"

    def __init__(self, folder: Path) -> None:
        self.file = folder / "club.sqlite3"
        self.url = f"sqlite:///{self.file}"

    def start(self) -> None:
        """A file needs no start."""

    def hit(self, seconds: float) -> None:
        """Another program holds the write lock for a while and goes without saying so."""
        with closing(sqlite3.connect(self.file, timeout=5, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            time.sleep(seconds)

    def away(self) -> None:
        """A file goes with its folder."""


class PostgresServer:
    vendor = "postgresql"

    def __init__(self, folder: Path) -> None:
        self.user = server_user()
        self.folder = private_folder(self.user)
        programs = server_programs(self.folder, self.user)
        if programs is None:
            raise LookupError("No PostgreSQL server programs here.")
        self.programs = programs
        self.data = folder / "pg"
        self.data.mkdir(mode=0o700)
        if self.user:
            shutil.chown(self.data, self.user)
        initial = [
            "-U",
            "postgres",
            "-A",
            "trust",
            "-E",
            "UTF8",
            "--locale=C",
            "--no-sync",
            "--wal-segsize=4",
        ]
        call([programs / "initdb", "-D", self.data, *initial], self.folder, self.user)
        self.url = f"postgres:///postgres?host={self.folder}&user=postgres"

    def _control(self, *words: str) -> None:
        call([self.programs / "pg_ctl", "-D", self.data, *words], self.folder, self.user)

    def start(self) -> None:
        """Start it, unless it runs; after a full disk it may have given up by itself."""
        if not self._runs():
            options = f"-c listen_addresses= -k {self.folder} {WAL} {KEPT}"
            self._control("-w", "-t", "60", "-l", str(self.folder / "log"), "-o", options, "start")

    def _runs(self) -> bool:
        try:
            self._control("status")
        except SystemExit:
            return False
        return True

    def hit(self, seconds: float) -> None:
        """Stop at once, as when its machine is switched off, and start again a while later."""
        self.stop()
        time.sleep(seconds)
        self.start()

    def stop(self) -> None:
        if self._runs():
            self._control("-m", "immediate", "-t", "60", "stop")

    def away(self) -> None:
        self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)


def make(vendor: str, folder: Path) -> SqliteFile | PostgresServer:
    database = SqliteFile(folder) if vendor == "sqlite" else PostgresServer(folder)
    database.start()
    os.environ["DATABASE_URL"] = database.url
    return database
