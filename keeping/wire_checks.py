"""Nothing goes to another machine in the open: to the database, to the mail server, to the scanner of files.

An error, so that no command runs and no server starts (config/wsgi.py) until it is mended or accepted by name in
PLAIN_CONNECTIONS_ACCEPTED. Source: OWASP ASVS 5.0.0, 12.3.1 and 12.3.2; PostgreSQL, “SSL Support”, table 32.1: of the
modes of libpq `verify-full` alone keeps out somebody in between.
"""

from collections.abc import Iterator, Sequence
from ipaddress import ip_address
from typing import Any
from urllib.parse import urlsplit

from django.apps import AppConfig
from django.conf import settings
from django.core import checks
from django.core.checks import CheckMessage, register

DATABASE, MAIL, SCANNER = "database", "mail", "scanner"
ACCEPT = "Or put the word {} into PLAIN_CONNECTIONS_ACCEPTED, if nobody else is on that way, as in a VPN."


@register("wires")
def wires_are_closed(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    if settings.DEBUG:
        return []
    accepted = settings.PLAIN_CONNECTIONS_ACCEPTED
    return [*_unknown(accepted), *_database(accepted), *_mail(accepted), *_scanner(accepted)]


def _unknown(accepted: list[str]) -> Iterator[CheckMessage]:
    if others := sorted(set(accepted) - {DATABASE, MAIL, SCANNER}):
        yield checks.Error(
            f"PLAIN_CONNECTIONS_ACCEPTED holds “{', '.join(others)}”, which names no connection.",
            hint="It may hold database, mail and scanner, with commas between.",
            id="stubble.E046",
        )


def _database(accepted: list[str]) -> Iterator[CheckMessage]:
    base: dict[str, Any] = dict(settings.DATABASES["default"])
    if not str(base["ENGINE"]).endswith("postgresql"):
        return
    options: dict[str, Any] = base.get("OPTIONS", {})
    given = options.get("hostaddr") or options.get("host") or base.get("HOST")
    far = [host for host in str(given or "").split(",") if is_far(host)]
    mode = options.get("sslmode", "prefer")
    if far and mode != "verify-full":
        yield _said(
            DATABASE,
            accepted,
            f"The database is on {far[0]} and sslmode is “{mode}”, so whoever is on the way may read every record or "
            "pass for the database.",
            "End DATABASE_URL with ?sslmode=verify-full&sslrootcert=system, or the file of your own authority.",
        )


def _mail(accepted: list[str]) -> Iterator[CheckMessage]:
    is_smtp = str(settings.EMAIL_BACKEND) == "web.smtp.EmailBackend"
    if is_smtp and is_far(settings.EMAIL_HOST) and not (settings.EMAIL_USE_TLS or settings.EMAIL_USE_SSL):
        yield _said(
            MAIL,
            accepted,
            f"Letters go to {settings.EMAIL_HOST} in the open, with the password and the private addresses in them.",
            "Begin EMAIL_URL with smtp+tls:// or smtp+ssl://.",
        )


def _scanner(accepted: list[str]) -> Iterator[CheckMessage]:
    host = urlsplit(settings.VIRUS_SCANNER).hostname or ""
    if is_far(host):
        yield _said(
            SCANNER,
            accepted,
            f"Files go to the scanner on {host} in the open: its protocol knows no encryption.",
            "Let it listen on a socket of this machine, VIRUS_SCANNER=unix:///run/clamav/clamd.ctl.",
        )


def _said(name: str, accepted: list[str], words: str, remedy: str) -> CheckMessage:
    if name in accepted:
        return checks.Info(f"Accepted by PLAIN_CONNECTIONS_ACCEPTED: {words}", id="stubble.I047")
    return checks.Error(words, hint=f"{remedy} {ACCEPT.format(name)}", id="stubble.E047")


def is_far(host: str) -> bool:
    """Is it another machine? A path is a socket of this one, and nothing at all is libpq's own socket."""
    if not host or host.startswith(("/", "@")) or host == "localhost":
        return False
    try:
        return not ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return True
