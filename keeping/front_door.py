"""What `check --deploy --database default` finds at the site's own public address: TLS as a stranger meets it.

It asks over the network. Like Django's own checks that do more than read settings it runs where a database is named.
Sources: OWASP ASVS 5.0.0, 12.1.1, 12.1.2, 12.2.2; RFC 9325, section 3.1 (versions) and 4.2 (suites).
"""

import socket
import ssl
import warnings
from collections.abc import Iterator, Sequence
from typing import Any
from urllib.parse import urlsplit

from django.apps import AppConfig
from django.conf import settings
from django.core import checks
from django.core.checks import CheckMessage, Tags, register

LONGEST = 10
"""Seconds that the address may take to answer."""
RECOMMENDED = "!ECDHE+AESGCM:!ECDHE+CHACHA20:!DHE+AESGCM:!DHE+CHACHA20:!ECDHE+AESCCM:!DHE+AESCCM"


def _told(number: int, words: str, hint: str) -> CheckMessage:
    return checks.Error(words, hint=hint, id=f"stubble.E0{number}")


@register(Tags.database, deploy=True)
def front_door_is_shut_well(
    app_configs: Sequence[AppConfig] | None, databases: Sequence[str] | None = None, **kwargs: Any
) -> list[CheckMessage]:
    if not databases:
        return []
    address = urlsplit(settings.PUBLIC_URL)
    if address.scheme != "https" or not address.hostname:
        words = f"PUBLIC_URL is “{settings.PUBLIC_URL}”, so there is no address to look at."
        return [_told(40, words, "Set it to the address of the site, for example https://club.example.")]
    return list(faults_at(address.hostname, address.port or 443, ssl.create_default_context()))


def faults_at(host: str, port: int, trusted: ssl.SSLContext) -> Iterator[CheckMessage]:
    """What is wrong with TLS at `host`: `trusted` holds the authorities that a visitor's browser believes."""
    place = f"https://{host}:{port}"
    try:
        version, _ = _shake(host, port, trusted)
    except ssl.SSLError as error:
        words = f"No browser believes the certificate at {place}: {error.reason or error}."
        yield _told(
            41, words, "Get one from a public authority (certbot, docs/running.md), with its whole chain."
        )
    except OSError as error:
        words = f"Nobody answers at {place}: {error}."
        yield _told(42, words, "Look at the name in the domain's records, at the firewall and at the proxy.")
        return
    else:
        if version != "TLSv1.3":
            words = f"{place} speaks {version} with a caller that prefers TLS 1.3."
            yield _told(
                43, words, "Let the proxy offer both: ssl_protocols TLSv1.2 TLSv1.3 (deploy/nginx.conf)."
            )
    yield from _old(host, port, place)


def _old(host: str, port: int, place: str) -> Iterator[CheckMessage]:
    if met := _accepted(host, port, _old_versions()):
        words = f"{place} still accepts {met[0]}, which is broken: what goes through can be read on the way."
        yield _told(
            44, words, "Let the proxy offer TLS 1.2 and 1.3 alone (ssl_protocols in deploy/nginx.conf)."
        )
    if met := _accepted(host, port, _weak_suites()):
        words = f"{place} still accepts {met[1]}, a cipher without forward secrecy or authentication of what it hides."
        yield _told(45, words, "Take the line ssl_ciphers of deploy/nginx.conf.")


def _shake(host: str, port: int, context: ssl.SSLContext) -> tuple[str, str]:
    """The version and the cipher that both sides agree on. Raises OSError, of which ssl.SSLError is one."""
    with (
        socket.create_connection((host, port), timeout=LONGEST) as plain,
        context.wrap_socket(plain, server_hostname=host) as closed,
    ):
        return closed.version() or "", (closed.cipher() or ("",))[0]


def _accepted(host: str, port: int, context: ssl.SSLContext) -> tuple[str, str] | None:
    try:
        return _shake(host, port, context)
    except OSError:
        return None


def _caller() -> ssl.SSLContext:
    """Believes any certificate: it says nothing, it only listens to what would be agreed on."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
    return context


def _old_versions() -> ssl.SSLContext:
    context = _caller()
    context.set_ciphers("ALL:@SECLEVEL=0")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # that they are old is the point
        context.minimum_version, context.maximum_version = ssl.TLSVersion.TLSv1, ssl.TLSVersion.TLSv1_1
    return context


def _weak_suites() -> ssl.SSLContext:
    """Everything that TLS 1.2 knows, less what is recommended."""
    context = _caller()
    context.set_ciphers(f"ALL:COMPLEMENTOFALL:{RECOMMENDED}:@SECLEVEL=0")
    context.minimum_version = context.maximum_version = ssl.TLSVersion.TLSv1_2
    return context
