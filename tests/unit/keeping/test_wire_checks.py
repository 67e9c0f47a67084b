"""A connection to another machine in the open is an error that stops every command; accepted by name it is told.

Sources: OWASP ASVS 5.0.0, 12.3.1; PostgreSQL, “SSL Support”, table 32.1 (what each sslmode keeps out).
"""

from typing import Any

import pytest
from django.core.checks import run_checks
from django.core.exceptions import ImproperlyConfigured
from django.core.management import call_command
from django.core.management.base import SystemCheckError
from environ import Env

from config.wsgi import refuse
from keeping.wire_checks import is_far

pytestmark = [
    pytest.mark.once,
    pytest.mark.filterwarnings("ignore:Overriding setting DATABASES"),  # it is read here and not connected to
]


def said() -> dict[str, str]:
    return {each.id: f"{each.msg} {each.hint}" for each in run_checks(tags=["wires"])}


def database(settings: Any, url: str) -> dict[str, str]:
    settings.DATABASES = {"default": Env.db_url_config(url)}
    return said()


@pytest.mark.parametrize(
    "url",
    [
        "postgres://club:pw@db.example/club?sslmode=verify-full&sslrootcert=system",
        "postgres://club:pw@localhost/club",
        "postgres://club:pw@127.0.0.1:5433/club",
        "postgres:///club?host=/var/run/postgresql",
        "postgres:///club",
        "sqlite:////var/lib/stubble/club.sqlite3",
    ],
)
def test_a_database_that_is_here_or_reached_safely_is_no_fault(settings: Any, url: str) -> None:
    assert database(settings, url) == {}


@pytest.mark.parametrize("mode", ["", "?sslmode=disable", "?sslmode=allow", "?sslmode=prefer", "?sslmode=require",
                                  "?sslmode=verify-ca", "?hostaddr=203.0.113.7"])  # fmt: skip
def test_every_other_mode_of_libpq_leaves_room_for_somebody_in_between(settings: Any, mode: str) -> None:
    found = database(settings, f"postgres://club:pw@db.example/club{mode}")
    assert found.keys() == {"stubble.E047"}
    assert "?sslmode=verify-full" in found["stubble.E047"]
    assert "pw" not in found["stubble.E047"]


def test_letters_in_the_open(settings: Any) -> None:
    settings.EMAIL_BACKEND, settings.EMAIL_HOST = "web.smtp.EmailBackend", "mail.example"
    settings.EMAIL_USE_TLS = settings.EMAIL_USE_SSL = False
    assert "Letters go to mail.example in the open" in said()["stubble.E047"]
    settings.EMAIL_USE_TLS = True
    assert said() == {}
    settings.EMAIL_USE_TLS, settings.EMAIL_HOST = False, "localhost"
    assert said() == {}


def test_files_in_the_open(settings: Any) -> None:
    settings.VIRUS_SCANNER = "tcp://scanner.example:3310"
    assert "Files go to the scanner on scanner.example in the open" in said()["stubble.E047"]
    for here in ("tcp://127.0.0.1:3310", "tcp://[::1]:3310", "unix:///run/clamav/clamd.ctl", ""):
        settings.VIRUS_SCANNER = here
        assert said() == {}


def test_a_club_may_accept_it_by_name_and_is_told_so(settings: Any) -> None:
    settings.VIRUS_SCANNER = "tcp://scanner.example:3310"
    settings.PLAIN_CONNECTIONS_ACCEPTED = ["database"]
    assert said().keys() == {"stubble.E047"}
    settings.PLAIN_CONNECTIONS_ACCEPTED = ["database", "scanner"]
    assert said().keys() == {"stubble.I047"}
    settings.PLAIN_CONNECTIONS_ACCEPTED = ["scanner", "everything"]
    assert said().keys() == {"stubble.I047", "stubble.E046"}


def test_no_command_runs_and_no_server_starts(settings: Any) -> None:
    settings.VIRUS_SCANNER = "tcp://scanner.example:3310"
    with pytest.raises(SystemCheckError, match=r"scanner\.example"):
        call_command("late_out", skip_checks=False)
    with pytest.raises(ImproperlyConfigured, match=r"scanner\.example in the open.*VIRUS_SCANNER=unix"):
        refuse(run_checks(tags=["wires"]))
    settings.PLAIN_CONNECTIONS_ACCEPTED = ["scanner"]
    refuse(run_checks(tags=["wires"]))


def test_for_a_developer_nothing_is_said(settings: Any) -> None:
    settings.VIRUS_SCANNER, settings.DEBUG = "tcp://scanner.example:3310", True
    assert said() == {}


@pytest.mark.parametrize(
    ("host", "far"),
    [("", False), ("/run/postgresql", False), ("@club", False), ("localhost", False), ("127.0.0.53", False),
     ("::1", False), ("10.0.0.4", True), ("db.example", True), ("2001:db8::1", True)],
)  # fmt: skip
def test_which_host_is_another_machine(host: str, far: bool) -> None:
    assert is_far(host) is far
