"""The cast that views are tried with, and how every test begins and ends."""

import gc
import time
from collections.abc import Callable, Iterator
from datetime import timedelta
from types import SimpleNamespace
from typing import Any

import pytest
from django.apps import apps
from django.core.cache import cache
from django.core.management.commands import flush
from django.db import connection
from django.db.backends.base.base import BaseDatabaseWrapper
from django.test import Client
from django.utils.translation import deactivate
from hypothesis import HealthCheck, settings

from people.models import User
from people.rights import Role
from tests import EVERYTHING, make
from tests.flushing import past_triggers
from web.append_only import AppendOnlyModel, guard_sql
from web.days import USUAL, write_days

# How long an example takes says how busy the machine is; speed is measured under benchmarks/.
settings.register_profile(
    "untimed",
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    max_examples=100 if EVERYTHING else 40,  # of tests that name no number of their own
    derandomize=not EVERYTHING,  # a change is judged by the examples of the last one; new ones are for a long run
)
settings.load_profile("untimed")


def pytest_configure() -> None:
    """Nothing that collecting makes goes away again: looking for what does is a tenth of its time."""
    gc.disable()


@pytest.hookimpl(trylast=True)
def pytest_collection_finish() -> None:
    """Nine thousand tests and all modules stay to the end, and are not looked through again during any test."""
    gc.enable()
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)


@pytest.fixture(autouse=True)
def _clear_cache() -> Iterator[None]:
    yield
    cache.clear()


@pytest.fixture(autouse=True)
def _codes_stand_still(monkeypatch: pytest.MonkeyPatch) -> None:
    """A one-time code is good for its own half minute alone: a test that crossed from one to the next would fail."""
    began = time.time()
    monkeypatch.setattr("allauth.mfa.totp.internal.auth.time", SimpleNamespace(time=lambda: began))


@pytest.fixture(scope="session", autouse=True)
def _transactions_stay_open() -> Iterator[None]:
    """The end of a request closes a connection whose transaction its own code did not begin; a test's did."""
    plain = BaseDatabaseWrapper.close_if_unusable_or_obsolete

    def close(self: BaseDatabaseWrapper) -> None:
        if not self.in_atomic_block:
            plain(self)

    with pytest.MonkeyPatch.context() as monkeypatch:
        monkeypatch.setattr(BaseDatabaseWrapper, "close_if_unusable_or_obsolete", close)
        yield


@pytest.fixture(scope="session", autouse=True)
def _signs_of_life_are_rare() -> Iterator[None]:
    """Some worlds stand for a thousand tests, longer than the minutes after which a page writes down that its reader
    is still there: tests that count what a page writes would then fail on a busy machine."""
    with pytest.MonkeyPatch.context() as monkeypatch:
        monkeypatch.setattr("people.views.session_rules.SEEN_EVERY", timedelta(minutes=50))
        yield


@pytest.fixture(autouse=True)
def _in_english() -> Iterator[None]:
    """The language of the last request stays with its thread until the next one chooses: not beyond a test."""
    yield
    deactivate()
    write_days(USUAL)


@pytest.fixture(scope="session", autouse=True)
def _flush_past_triggers() -> Iterator[None]:
    """Empty the tables after a test that needs transactions of its own, in the way of the database (tests/flushing.py).

    For the whole session: the flush comes after a test's own fixtures are gone.
    """
    with pytest.MonkeyPatch.context() as monkeypatch:
        past_triggers(monkeypatch)
        # Django then writes its permissions of each model anew, half of the flush; nothing here reads them.
        monkeypatch.setattr(flush, "emit_post_migrate_signal", lambda *args, **kwargs: None)
        yield


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup: None, django_db_blocker: Any) -> None:
    """Tests make their tables from the models, which takes a tenth of the time; the ledgers get their triggers here.

    That the migrations make the same tables with the same triggers is a test of its own (tests/house/test_migrated.py).
    """
    with django_db_blocker.unblock(), connection.cursor() as cursor:
        for model in apps.get_models():
            if issubclass(model, AppendOnlyModel):
                for statement in guard_sql(connection.vendor, model._meta.db_table)[0]:
                    cursor.execute(statement)


@pytest.fixture
def client_of() -> Callable[[User | None], Client]:
    def client_of(user: User | None) -> Client:
        client = Client()
        if user is not None:
            client.force_login(user)
        return client

    return client_of


@pytest.fixture
def secretary(db: None) -> User:
    return make.person(Role.SECRETARY, name="Sal Marram")


@pytest.fixture
def leader(db: None) -> User:
    return make.person(Role.LEADER, name="Len Groyne")


@pytest.fixture
def member(db: None) -> User:
    return make.person(name="Mo Samphire")


@pytest.fixture
def committee(db: None) -> User:
    return make.person(Role.COMMITTEE, name="Cora Boulder")


@pytest.fixture
def stranger(db: None) -> User:
    """An account whose membership has lapsed."""
    return make.person(member=False, name="Stan Drifter")
