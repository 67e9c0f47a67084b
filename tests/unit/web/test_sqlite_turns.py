"""Writers of SQLite take turns (web/sqlite): against a file that another connection locks by SQLite's own means."""

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import pytest
from django.db import OperationalError, connections
from django.db.transaction import Atomic

from web.sqlite import base
from web.sqlite.base import DatabaseWrapper

pytestmark = [pytest.mark.django_db, pytest.mark.once]
SOON_S = 0.05


@pytest.fixture
def file(tmp_path: Path) -> Path:
    file = tmp_path / "club.sqlite3"
    with closing(sqlite3.connect(file)) as made:
        made.execute("PRAGMA journal_mode=WAL")
        made.execute("CREATE TABLE page (name TEXT)")
    return file


def writer(file: Path, timeout_s: float = 20, **options: Any) -> DatabaseWrapper:
    settings = connections["default"].settings_dict | {
        "NAME": str(file),
        "OPTIONS": {"transaction_mode": "IMMEDIATE", "timeout": timeout_s, **options},
    }
    return DatabaseWrapper(settings, alias="turns")


@contextmanager
def writing(database: DatabaseWrapper) -> Iterator[Any]:
    """A transaction of a connection that no alias names."""
    connections["turns"] = database
    try:
        with Atomic("turns", savepoint=True, durable=False), database.cursor() as cursor:
            yield cursor
    finally:
        database.close()
        del connections["turns"]


@contextmanager
def locked(file: Path) -> Iterator[None]:
    with closing(sqlite3.connect(file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield
        other.execute("COMMIT")


def names(file: Path) -> list[str]:
    with closing(sqlite3.connect(file)) as looking:
        return sorted(name for (name,) in looking.execute("SELECT name FROM page"))


def test_who_waits_longer_than_the_timeout_is_told(file: Path) -> None:
    database = writer(file, timeout_s=SOON_S)
    with locked(file), pytest.raises(OperationalError, match="locked"), writing(database):
        pass
    with writing(database) as cursor:
        cursor.execute("INSERT INTO page VALUES ('after')")
        assert cursor.execute("PRAGMA busy_timeout").fetchone() == (SOON_S * 1000,)  # as the settings have it
    assert names(file) == ["after"]


def test_who_stands_behind_others_at_the_door_waits_no_longer_either(file: Path) -> None:
    database = writer(file, timeout_s=SOON_S)
    with (
        base._doors[str(file)],
        locked(file),
        pytest.raises(OperationalError, match="locked"),
        writing(database),
    ):
        pass


def test_one_asks_at_a_time_and_everybody_comes_to_write(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asking, most, standing = [0], [0], threading.Barrier(6)
    plain = DatabaseWrapper._ask_until

    def counted(database: DatabaseWrapper, *args: Any) -> None:
        asking[0] += 1
        most[0] = max(most[0], asking[0])
        try:
            plain(database, *args)
        finally:
            asking[0] -= 1

    monkeypatch.setattr(DatabaseWrapper, "_ask_until", counted)

    def write(name: str) -> None:
        standing.wait()
        with writing(writer(file)) as cursor:
            cursor.execute("INSERT INTO page VALUES (%s)", [name])

    threads = [threading.Thread(target=write, args=(name,)) for name in "abcde"]
    with locked(file):
        for thread in threads:
            thread.start()
        standing.wait()
        threads[0].join(SOON_S)
    for thread in threads:
        thread.join()
    assert (most[0], names(file)) == (1, list("abcde"))


def test_each_file_has_a_door_of_its_own(file: Path, tmp_path: Path) -> None:
    """Who writes to one file and begins on another must not wait for those who wait for the first."""
    other = tmp_path / "other.sqlite3"
    with base._doors[str(file)], writing(writer(other, timeout_s=SOON_S)) as cursor:
        cursor.execute("CREATE TABLE page (name TEXT)")
    assert names(other) == []


def test_other_faults_are_passed_on_at_once(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    database = writer(file, timeout_s=20)
    monkeypatch.setattr(base, "PAUSE_S", 3600.0)  # whoever asked again would never come back
    with writing(database), pytest.raises(OperationalError, match="within a transaction"):
        database._start_transaction_under_autocommit()


def test_a_transaction_that_takes_no_lock_at_once_is_as_the_framework_has_it(file: Path) -> None:
    with locked(file), writing(writer(file, timeout_s=SOON_S, transaction_mode="DEFERRED")) as cursor:
        assert cursor.execute("SELECT count(*) FROM page").fetchone() == (0,)


def test_the_beginning_is_among_the_queries(file: Path) -> None:
    database = writer(file)
    database.force_debug_cursor = True
    with writing(database):
        pass
    assert [query["sql"] for query in database.queries] == ["BEGIN IMMEDIATE", "COMMIT"]
