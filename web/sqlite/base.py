"""Django's SQLite backend, in which writers wait in turn instead of asking again and again.

SQLite lets one write at a time. Whoever finds it busy sleeps and asks again, each time after a longer sleep, so the
newest comer is served first and the one who has waited longest last; with eight threads writing most of the time
nobody writes at all. Here one thread of each process stands at the door and asks every two milliseconds; the others
of its process queue behind it, and nobody stands longer than the `timeout` of the settings.
"""

import sqlite3
import threading
import time
from collections import defaultdict
from typing import Any

from django.db.backends.sqlite3 import base
from django.db.backends.utils import debug_transaction

PAUSE_S = 0.002
_doors: defaultdict[str, threading.Lock] = defaultdict(threading.Lock)


class DatabaseWrapper(base.DatabaseWrapper):
    """As Django's; only the beginning of a transaction that takes the write lock at once is another."""

    transaction_mode: str | None  # of the settings

    def _start_transaction_under_autocommit(self) -> None:
        if self.transaction_mode != "IMMEDIATE" or self.is_in_memory_db():
            super()._start_transaction_under_autocommit()  # type: ignore[misc]  # the stubs leave it out
            return
        with debug_transaction(self, "BEGIN IMMEDIATE"), self.wrap_database_errors:
            self._begin_in_turn()

    def _begin_in_turn(self) -> None:
        patience: float = self.settings_dict["OPTIONS"].get("timeout", 5.0)
        ends = time.monotonic() + patience
        door = _doors[str(self.settings_dict["NAME"])]
        is_at_the_door = door.acquire(timeout=patience)
        try:
            self._ask_until(ends, patience)  # once in any case: SQLite itself says that it is locked
        finally:
            if is_at_the_door:
                door.release()

    def _ask_until(self, ends: float, patience: float) -> None:
        connection: Any = self.connection
        connection.execute("PRAGMA busy_timeout = 0")
        try:
            while True:
                try:
                    connection.execute("BEGIN IMMEDIATE")
                    return
                except sqlite3.OperationalError as error:
                    if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY or time.monotonic() >= ends:
                        raise
                time.sleep(PAUSE_S)
        finally:
            connection.execute(f"PRAGMA busy_timeout = {int(patience * 1000)}")
