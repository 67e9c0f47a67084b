"""The project as a whole: migrations in step, deploy checks clean, layers kept, ledgers kept."""

import os
import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction
from django.utils.timezone import now

from people.models import AuditEntry
from web.append_only import AppendOnlyError

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.django_db
def test_migrations_are_in_step_with_the_models() -> None:
    call_command("makemigrations", check=True, dry_run=True, stdout=StringIO())


def test_production_settings_pass_the_deploy_check(tmp_path: Path) -> None:
    # The browser tests set DJANGO_ALLOW_ASYNC_UNSAFE for themselves, which a deployment must not have.
    environment = {key: value for key, value in os.environ.items() if not key.startswith("DJANGO_")} | {
        "DJANGO_SECRET_KEY": "zR4-this-is-a-test-value-with-many-different-characters-0192837465-qwertyuiop",
        "DJANGO_ALLOWED_HOSTS": "club.example",
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "DEFAULT_FROM_EMAIL": "secretary@club.example",
        "PUBLIC_URL": "https://club.example",
        "DATABASE_URL": f"sqlite:///{tmp_path}/club.sqlite3",
        "MEDIA_ROOT": str(tmp_path / "private"),
        "UPDATE_WARN_DAYS": "0",  # how long ago this tree was fetched is no matter of settings
        "VIRUS_SCANNER": "unix:///run/clamav/clamd.ctl",
        "BACKUP_KEYS": "age1u4x4s8ddhpja4m0s4qvnh3klw5mamyst87huqkvhuhm89yh6rfmsqqvrrl",  # opened by nobody
    }
    command = [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"]
    done = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_settings_refuse_to_start_without_a_secret() -> None:
    environment = {k: v for k, v in os.environ.items() if not k.startswith("DJANGO_")}
    environment["DJANGO_SETTINGS_MODULE"] = "config.settings"
    done = subprocess.run(
        [sys.executable, "manage.py", "check"],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode != 0
    assert "DJANGO_SECRET_KEY is empty" in done.stderr


def test_imports_go_down() -> None:
    command = [str(Path(sys.executable).parent / "lint-imports"), "--no-cache"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout


@pytest.mark.django_db
def test_a_line_of_the_audit_trail_cannot_be_changed() -> None:
    line = AuditEntry.objects.create(at=now(), verb="test", subject="people.User:1", label="x")
    with pytest.raises(AppendOnlyError):
        line.save()
    with pytest.raises(AppendOnlyError):
        line.delete()
    with pytest.raises(AppendOnlyError):
        AuditEntry.objects.update(verb="other")
    with pytest.raises(AppendOnlyError):
        AuditEntry.objects.all().delete()


@pytest.mark.django_db
@pytest.mark.parametrize("statement", ["UPDATE {} SET verb = 'other'", "DELETE FROM {}"])
def test_the_database_itself_refuses(statement: str) -> None:
    AuditEntry.objects.create(at=now(), verb="test", subject="people.User:1", label="x")
    with (
        pytest.raises(DatabaseError, match="append-only"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(statement.format(AuditEntry._meta.db_table))
