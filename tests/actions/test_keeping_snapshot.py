"""The look that stands still: nobody waits for it, nothing that comes later is in it. Older states of the schema."""

from copy import deepcopy
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from django.core.files.storage import FileSystemStorage
from django.db import DatabaseError, connections, transaction
from django.db.backends.base.base import BaseDatabaseWrapper

from keeping import kinds, restore
from keeping.backup import back_up
from keeping.errors import KeepingError
from keeping.intake import make_ready
from keeping.key import make_key, read_keys, read_recipients
from keeping.snapshot import scratch, snapshot
from people.models import Contact

pytestmark = pytest.mark.django_db(transaction=True)

AT = datetime(2026, 3, 1, 12, tzinfo=UTC)
NEWEST = ("reports", "0012_set_up_not_needed")


@pytest.fixture(autouse=True)
def other_databases(transactional_db: None, django_db_blocker: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave to open databases that were not there when the run began."""
    monkeypatch.setattr(BaseDatabaseWrapper, "ensure_connection", django_db_blocker._real_ensure_connection)


@pytest.fixture
def club(tmp_path: Path) -> Any:
    """The alias of a database that several connections share as in production: a file in WAL, or the server's."""
    if connections["default"].vendor == "postgresql":
        yield "default"
        return
    with scratch(
        tmp_path, {label: kind for label, kind in kinds.kinds().items() if label == "people.contact"}
    ) as alias:
        connections[alias].close()
        connections[alias].settings_dict["OPTIONS"] = deepcopy(
            connections["default"].settings_dict["OPTIONS"]
        )
        yield alias


def contact(alias: str, name: str) -> Contact:
    return Contact.objects.using(alias).create(kind="coroner", name=name)


def names(alias: str) -> list[str]:
    return list(Contact.objects.using(alias).order_by("name").values_list("name", flat=True))


def test_a_look_stands_still_while_others_write_at_once(club: str) -> None:
    contact(club, "Ada")
    with snapshot(club) as look:
        with transaction.atomic(
            using=club
        ):  # nobody waits: a writer that had to would fail after its timeout
            contact(club, "Bea")
        assert names(look) == ["Ada"]
        with transaction.atomic(using=club):
            Contact.objects.using(club).filter(name="Ada").delete()
        assert names(look) == ["Ada"]
    assert names(club) == ["Bea"]


def test_nothing_can_be_written_through_a_look(club: str) -> None:
    with pytest.raises(DatabaseError, match=r"read-?only"), snapshot(club) as look:
        contact(look, "Ada")
    assert names(club) == []


def test_a_backup_of_an_older_state_is_proved_at_that_state(
    tmp_path: Path, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A state that had fewer tables: its models are made from the migrations, and nothing of today is asked of it."""
    settings.MIGRATION_MODULES = {}
    monkeypatch.setattr(kinds, "applied", lambda alias: older)
    monkeypatch.setattr("keeping.backup.applied", lambda alias: older)
    older = [name for name in kinds.known() if name != ".".join(NEWEST)]
    tables = kinds.kinds(kinds.registry_at(older))
    assert set(kinds.kinds()) - set(tables) == {"reports.notneeded"}
    public = make_key(tmp_path / "key.txt", at=AT)
    with scratch(tmp_path, tables) as alias:
        tables["people.contact"].model._base_manager.using(alias).create(kind="coroner", name="Ada")
        back_up(
            tmp_path / "old.age",
            read_recipients([public]),
            at=AT,
            source=alias,
            storage=FileSystemStorage(tmp_path / "files"),
        )
    proof = restore.drill(tmp_path / "old.age", read_keys(tmp_path / "key.txt"))
    assert (proof.rows, proof.tables) == (1, len(tables))


def test_an_older_state_does_not_come_into_tables_of_today(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        "keeping.intake.applied", lambda alias: ["people.0001_initial", "people.0002_guard_ledgers"]
    )
    with pytest.raises(KeepingError, match="older state of the program"):
        make_ready(["people.0001_initial"])
