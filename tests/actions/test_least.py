"""The account that serves the site can do what the site does, and cannot rewrite or drop what is kept.

Sources: PostgreSQL, “Privileges” (the rights to drop a table and to alter it are the owner's and cannot be granted);
OWASP ASVS 5.0.0, 13.2.2.
"""

import os
from collections.abc import Iterator
from copy import deepcopy
from io import StringIO

import pytest
from django.apps import apps
from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection, transaction
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now

from keeping import deploy_checks
from keeping.least import ledgers, may_rewrite_ledgers
from people.models import AuditEntry
from tests import make
from tests.views.access import READERS
from tests.views.test_access import ROWS, _answer, _client
from tests.views.world import build

ON_POSTGRES = pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite knows no accounts")
pytestmark = pytest.mark.django_db
ROLE = f"site_{os.getpid()}"


def run(statement: str) -> None:
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)


@pytest.fixture
def service(db: None) -> Iterator[None]:
    """From here on the connection has the rights of the site's account; the account goes with the transaction."""
    run(f"CREATE ROLE {ROLE} LOGIN")
    out = StringIO()
    call_command("grant_least", ROLE, stdout=out)
    assert "owns none of them" in out.getvalue()
    run(f"SET ROLE {ROLE}")
    yield
    run("RESET ROLE")


FORBIDDEN = (
    "UPDATE {table} SET id = id",
    "DELETE FROM {table}",
    "TRUNCATE {table}",
    "DROP TABLE {table} CASCADE",
    "ALTER TABLE {table} DISABLE TRIGGER ALL",
    'DROP TRIGGER "{table}_guard" ON {table}',
    'DROP FUNCTION "{table}_refuse" CASCADE',
    "CREATE OR REPLACE FUNCTION \"{table}_refuse\"() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NEW; END'",
    "CREATE TRIGGER theirs BEFORE INSERT ON {table} EXECUTE FUNCTION suppress_redundant_updates_trigger()",
)
ELSEWHERE = (
    "SET session_replication_role = replica",
    "CREATE TABLE theirs (id int)",
    "CREATE TEMPORARY TABLE theirs (id int)",
    "CREATE SCHEMA theirs",
    "DROP TABLE people_user CASCADE",
    "ALTER TABLE people_user ADD COLUMN theirs int",
    "CREATE ROLE theirs",
)


@ON_POSTGRES
def test_of_every_ledger_nothing_can_be_changed_or_taken_away(service: None) -> None:
    AuditEntry.objects.create(at=now(), verb="test", subject="people.User:1", label="x")
    allowed = []
    for statement in [each.format(table=table) for table in sorted(ledgers()) for each in FORBIDDEN]:
        try:
            run(statement)
        except DatabaseError as error:
            if not any(words in str(error) for words in ("permission denied", "must be owner")):
                allowed.append(f"{statement}: {error}")
            continue
        allowed.append(statement)
    assert allowed == []
    assert len(ledgers()) > 10
    assert AuditEntry.objects.filter(verb="test").exists()


@ON_POSTGRES
@pytest.mark.parametrize("statement", ELSEWHERE)
def test_nothing_is_made_or_taken_down(service: None, statement: str) -> None:
    with pytest.raises(DatabaseError, match=r"permission denied|must be owner"):
        run(statement)


@ON_POSTGRES
def test_the_owner_could_do_all_that(db: None) -> None:
    """That the refusals above come from the account: its owner gets past the guard."""
    run("ALTER TABLE people_auditentry DISABLE TRIGGER ALL")
    AuditEntry.objects.create(at=now(), verb="test", subject="people.User:1", label="x")
    run("UPDATE people_auditentry SET label = 'another'")
    assert AuditEntry.objects.get(verb="test").label == "another"


@ON_POSTGRES
def test_a_season_is_written_and_read_as_by_the_owner(service: None) -> None:
    world = build()
    client = Client()
    client.force_login(world.secretary)
    for name, args in (("today", []), ("hunts:detail", [world.hunt.pk]), ("finds:detail", [world.find.pk])):
        assert client.get(reverse(name, args=args)).status_code == 200


@ON_POSTGRES
@pytest.mark.long
def test_the_site_works_as_it_does_for_the_owner(service: None) -> None:
    """A world is built by the actions themselves, and each page and form answers one who may open it as ever."""
    world = build()
    cookies = {reader: _client(world, reader).cookies for reader in READERS}
    wrong = {}
    for row in ROWS:
        reader = next((each for each in READERS if row.answer_for(each) in (200, 302)), "secretary")
        mine = deepcopy(world)
        with transaction.atomic():
            met = _answer(row, row.kwargs(mine), reader, mine, cookies[reader])
            transaction.set_rollback(True)
        if met != row.answer_for(reader):
            wrong[f"{row.method} {row.name}"] = met
    assert wrong == {}
    assert len(ROWS) > 200


@ON_POSTGRES
def test_the_check_sees_which_account_it_is(service: None) -> None:
    assert not may_rewrite_ledgers()
    assert deploy_checks.the_past_cannot_be_rewritten(None) == []
    run("RESET ROLE")
    assert [each.id for each in deploy_checks.the_past_cannot_be_rewritten(None)] == ["stubble.W039"]


@ON_POSTGRES
def test_what_an_earlier_release_needed_is_taken_back(service: None) -> None:
    run("RESET ROLE")
    run("CREATE TABLE IF NOT EXISTS django_migrations (id int)")  # tests make their tables without
    run(f"GRANT ALL ON people_auditentry, django_migrations TO {ROLE}")
    call_command("grant_least", ROLE, stdout=StringIO())
    run(f"SET ROLE {ROLE}")
    assert not may_rewrite_ledgers()
    run("SELECT count(*) FROM django_migrations")
    with pytest.raises(DatabaseError, match="permission denied"):
        run("DELETE FROM django_migrations")


@ON_POSTGRES
def test_an_account_from_which_nothing_can_be_kept_is_refused(db: None) -> None:
    for name, words in (
        ("nobody at all", "There is no account"),
        ("postgres", "may make itself their owner"),
    ):
        with pytest.raises(CommandError, match=words):
            call_command("grant_least", name)


@pytest.mark.skipif(connection.vendor == "postgresql", reason="what SQLite is told")
def test_on_sqlite_there_is_nothing_to_grant() -> None:
    with pytest.raises(CommandError, match="knows no accounts"):
        call_command("grant_least", "site")
    assert deploy_checks.the_past_cannot_be_rewritten(None) == []


def test_every_ledger_is_known() -> None:
    tables = {model._meta.db_table for model in apps.get_models()}
    assert ledgers() < tables
    assert {"people_auditentry", "finds_findspotview", "finds_custodyentry"} <= ledgers()
    assert make.club().pk == 1
