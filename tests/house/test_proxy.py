"""The proxy as shipped, in front of gunicorn as shipped: TLS that is agreed on, and messages whose end is in doubt.

Sources: OWASP ASVS 5.0.0, 4.2.1, 12.1.1, 12.1.2, 12.2.2; RFC 9112, 2.2 (bare CR), 5.1, 5.2, 6.1, 6.3 and 7.1 (where a
message ends); RFC 9113, 8.1.1 (content-length against DATA frames); RFC 9325, 3.1 and 4.2 (versions and suites).
"""

import re
import socket
import ssl
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.checks import run_checks
from django.core.checks.registry import registry

from keeping import front_door
from tests.house import http2, proxy
from tests.house.proxy import Stage

pytestmark = [pytest.mark.once, pytest.mark.skipif(not proxy.IS_HERE, reason="no nginx here")]
HIDDEN = b"GET /hidden HTTP/1.1\r\nHost: localhost\r\n\r\n"


@pytest.fixture(scope="module")
def stage(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Stage]:
    """When both servers have stopped nothing is under way any more: no hidden request ever came to the site."""
    with proxy.staged(tmp_path_factory.mktemp("proxy")) as stage:
        yield stage
    assert stage.said()
    assert [line for line in stage.said() if "hidden" in line] == []


def caller(stage: Stage) -> ssl.SSLContext:
    return ssl.create_default_context(cafile=stage.certificate)


def faults(port: int, trusted: ssl.SSLContext) -> dict[str, str]:
    return {each.id: each.msg for each in front_door.faults_at("localhost", port, trusted)}


def test_tls_as_shipped_has_no_fault(stage: Stage) -> None:
    assert faults(stage.closed, caller(stage)) == {}


def test_tls_of_one_who_took_no_care_is_seen(stage: Stage) -> None:
    """That the check above can fail: the same caller meets TLS 1.1, weak ciphers and no TLS 1.3."""
    found = faults(stage.careless, caller(stage))
    assert found.keys() == {"stubble.E043", "stubble.E044", "stubble.E045"}
    assert "speaks TLSv1.2" in found["stubble.E043"]
    assert "accepts TLSv1.1" in found["stubble.E044"]


def test_a_certificate_that_no_browser_believes_is_seen(stage: Stage) -> None:
    assert faults(stage.closed, ssl.create_default_context()).keys() == {"stubble.E041"}


def test_nobody_at_home(stage: Stage) -> None:
    (port,) = proxy.free_ports(1)
    assert faults(port, caller(stage)).keys() == {"stubble.E042"}


def looked() -> list[str]:
    """What `check --deploy --database default` says of the front door; its other checks would open the database."""
    assert front_door.front_door_is_shut_well in registry.get_checks(include_deployment_checks=True)
    return [each.id for each in front_door.front_door_is_shut_well(None, databases=["default"])]


def test_the_check_looks_at_the_public_address(stage: Stage, settings: Any) -> None:
    settings.PUBLIC_URL = "http://club.example"
    assert (
        run_checks(tags=["database"], include_deployment_checks=True) == []
    )  # asks nobody unless it is told to
    assert looked() == ["stubble.E040"]
    settings.PUBLIC_URL = f"https://localhost:{stage.closed}"
    assert looked() == ["stubble.E041"]


def test_the_strongest_suite_is_preferred_whatever_a_caller_puts_first(stage: Stage) -> None:
    context = caller(stage)
    context.maximum_version = ssl.TLSVersion.TLSv1_2
    context.set_ciphers("ECDHE+AES128:ECDHE+AES256")
    assert front_door._shake("localhost", stage.closed, context) == (
        "TLSv1.2",
        "ECDHE-ECDSA-AES256-GCM-SHA384",
    )


def talk(port: int, payload: bytes, context: ssl.SSLContext | None) -> int:
    """The status of the first answer; 0 where the connection is closed without one."""
    with socket.create_connection(("127.0.0.1", port), timeout=30) as plain:
        there = context.wrap_socket(plain, server_hostname="localhost") if context else plain
        with there, there.makefile("rwb") as stream:
            stream.write(payload)
            stream.flush()
            if context is None:
                plain.shutdown(socket.SHUT_WR)  # whoever waits for more learns that none will come
            line = stream.readline()
    return int(line.split()[1]) if line else 0


def message(path: str, head: str, body: bytes, *, version: str = "1.1") -> bytes:
    lines = f"POST {path} HTTP/{version}\r\nHost: localhost\r\n{head}\r\n"
    return lines.replace("LENGTH", str(len(body))).encode() + body


CHUNKED = b"0\r\n\r\n" + HIDDEN
OVER = b"5\r\nhello\r\n0\r\n\r\n"
CASES = {
    "both lengths": ("Content-Length: LENGTH\r\nTransfer-Encoding: chunked\r\n", CHUNKED),
    "both lengths, the other first": ("Transfer-Encoding: chunked\r\nContent-Length: LENGTH\r\n", CHUNKED),
    "both lengths, the short one": (
        "Content-Length: 4\r\nTransfer-Encoding: chunked\r\n",
        b"2c\r\n" + HIDDEN + b"\r\n0\r\n\r\n",
    ),
    "two lengths": ("Content-Length: 0\r\nContent-Length: LENGTH\r\n", HIDDEN),
    "two lengths, the other first": ("Content-Length: LENGTH\r\nContent-Length: 0\r\n", HIDDEN),
    "a list of lengths": ("Content-Length: LENGTH, 0\r\n", HIDDEN),
    "a length with a sign": ("Content-Length: +LENGTH\r\n", HIDDEN),
    "a negative length": ("Content-Length: -1\r\n", HIDDEN),
    "a length in hexadecimal": ("Content-Length: 0x0\r\n", HIDDEN),
    "an unknown coding": ("Content-Length: LENGTH\r\nTransfer-Encoding: xchunked\r\n", CHUNKED),
    "chunked is not the last": ("Transfer-Encoding: chunked, identity\r\n", CHUNKED),
    "chunked twice": ("Transfer-Encoding: chunked\r\nTransfer-Encoding: cow\r\n", CHUNKED),
    "a space before the colon": ("Content-Length: LENGTH\r\nTransfer-Encoding : chunked\r\n", CHUNKED),
    "a vertical tab": ("Content-Length: LENGTH\r\nTransfer-Encoding: \x0bchunked\r\n", CHUNKED),
    "a folded line": ("Content-Length: LENGTH\r\nTransfer-Encoding:\r\n chunked\r\n", CHUNKED),
    "a bare CR": ("Content-Length: LENGTH\r\nX: y\rTransfer-Encoding: chunked\r\n", CHUNKED),
    "a bare LF": ("Content-Length: LENGTH\r\nX: y\nTransfer-Encoding: chunked\r\n", CHUNKED),
    "an underscore": ("Content-Length: LENGTH\r\nTransfer_Encoding: chunked\r\n", CHUNKED),
    "a length with an underscore": ("Content-Length: LENGTH\r\nContent_Length: 0\r\n", HIDDEN),
    "a chunk in C's hexadecimal": ("Transfer-Encoding: chunked\r\n", b"0x0\r\n\r\n" + HIDDEN),
    "a chunk with a sign": ("Transfer-Encoding: chunked\r\n", b"-1\r\n\r\n" + HIDDEN),
    "a chunk past 64 bits": ("Transfer-Encoding: chunked\r\n", b"10000000000000000\r\n\r\n" + HIDDEN),
    "a chunk longer than it says": ("Transfer-Encoding: chunked\r\n", b"1\r\nhello\r\n" + CHUNKED),
    "an extension with a bare LF": ("Transfer-Encoding: chunked\r\n", b"2;\nxx\r\n2c\r\n" + HIDDEN + b"\r\n0\r\n\r\n"),
}  # fmt: skip


@pytest.mark.parametrize("way", ["through the proxy", "at the site itself"])
def test_a_message_whose_end_is_in_doubt_is_refused_or_is_one(stage: Stage, way: str) -> None:
    """Each on a connection of its own. The fixture looks once more when nothing can come late any more."""
    wrong = {}
    for number, (name, (head, body)) in enumerate(CASES.items()):
        path = f"/{number}-{'p' if 'proxy' in way else 's'}"
        port, context = (stage.closed, caller(stage)) if "proxy" in way else (stage.site, None)
        status = talk(port, message(path, head, body), context)
        met = [line.split()[1] for line in stage.said() if line.split()[1] == path]
        if (status, met) not in ((200, [path]), *((no, []) for no in (0, 400, 411, 413, 501))):
            wrong[name] = (status, met)
    assert wrong == {}
    assert [line for line in stage.said() if "hidden" in line] == []


@pytest.mark.parametrize("name", ["both lengths", "two lengths", "a list of lengths", "a bare LF"])
def test_what_cannot_be_right_in_any_reading_is_refused(stage: Stage, name: str) -> None:
    """RFC 9112, 6.3, 3 and 5: an attempt at smuggling ought to be an error; an invalid length must be one."""
    assert talk(stage.closed, message("/refused", *CASES[name]), caller(stage)) == 400
    assert [line for line in stage.said() if "/refused" in line] == []


def test_a_chunked_message_and_one_behind_it_are_two(stage: Stage) -> None:
    """That a second request would be seen at the site, and is counted once: the same bytes, honestly framed."""
    head = "Transfer-Encoding: chunked\r\n"
    follows = b"GET /followed HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"
    with (
        socket.create_connection(("127.0.0.1", stage.closed), timeout=30) as plain,
        caller(stage).wrap_socket(plain, server_hostname="localhost") as closed,
    ):
        closed.sendall(message("/first", head, OVER) + follows)
        answers = b"".join(iter(lambda: closed.recv(4096), b""))
    assert len(re.findall(rb"HTTP/1.1 200", answers)) == 2
    mine = [line for line in stage.said() if line.split()[1] in ("/first", "/followed")]
    assert mine == ["POST /first 5", "GET /followed 0"]


def test_over_http_2_a_length_that_lies_is_refused(stage: Stage) -> None:
    right = http2.ask(stage.closed, stage.certificate, "/h2", "5", b"hel", b"lo")
    assert (right, [line for line in stage.said() if "/h2" in line]) == ("200", ["POST /h2 5"])
    for length in ("4", "6", "0"):
        said = http2.ask(stage.closed, stage.certificate, "/h2-lies", length, b"hel", b"lo")
        assert said in ("400", "refused", "closed"), length
    assert [line for line in stage.said() if "/h2-lies" in line] == []


def test_plain_http_leads_pages_on_and_refuses_the_rest(stage: Stage) -> None:
    """OWASP ASVS 5.0.0, 4.1.2, at the proxy: tests/house/test_plain_http.py has the site's own half."""
    ask = "{} {} HTTP/1.1\r\nHost: club.example\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"
    met = {
        f"{verb} {path}": talk(stage.plain, ask.format(verb, path).encode(), None)
        for verb, path in (("GET", "/finds/"), ("POST", "/finds/"), ("GET", "/field/me/"), ("GET", "/open/x"))
    }
    assert met == {"GET /finds/": 308, "POST /finds/": 403, "GET /field/me/": 403, "GET /open/x": 403}


def test_the_log_of_the_proxy_holds_no_address(stage: Stage) -> None:
    context = caller(stage)
    talk(stage.closed, message("/sign/secret-key-of-a-landholder?q=1", "Content-Length: 0\r\n", b""), context)
    logs = "".join(Path(stage.folder, name).read_text() for name in ("stubble.log", "stubble-error.log"))
    assert "POST 200" in logs
    assert "secret-key" not in logs
