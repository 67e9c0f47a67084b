"""Files and a scanner that speaks the published protocol: found, not found, away, confused.

Sources: clamd(8), INSTREAM, for the protocol (the server below follows that page and nothing of ours); EICAR, “Anti
Malware Testfile” (eicar.org), for the 68 characters that every scanner calls a find and that harm nobody.
"""

import socketserver
import struct
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from permissions.evidence import EvidenceError, take_evidence
from tests.unit.web.pictures import Upload, encoded, quartered
from web.virus_scan import ScanError, scan

pytestmark = pytest.mark.once
# In two parts, so that no scanner takes these tests for the file itself.
EICAR = b"X5O!P%@AP[4\\PZX54(P^)7CC)7}$EICAR" + b"-STANDARD-ANTIVIRUS-TEST-FILE!$H+H*"
PDF = b"%PDF-1.7\n1 0 obj\n<<>>\nendobj\n"


class Daemon(socketserver.StreamRequestHandler):
    """What clamd(8) says a daemon does with one INSTREAM; `limit` is its StreamMaxLength."""

    limit = 1_000_000
    answer: bytes | None = None

    def handle(self) -> None:
        command = b""
        while not command.endswith(b"\0"):
            command += self.rfile.read(1)
        if command != b"zINSTREAM\0":
            self.wfile.write(b"UNKNOWN COMMAND\0")
            return
        data = b""
        while length := struct.unpack("!L", self.rfile.read(4))[0]:
            if len(data) + length > self.limit:
                self.wfile.write(b"INSTREAM size limit exceeded. ERROR\0")
                return
            data += self.rfile.read(length)
        if EICAR in data:
            self.wfile.write(b"stream: Eicar-Test-Signature FOUND\0")
        else:
            self.wfile.write(b"stream: OK\0" if self.answer is None else self.answer)


@contextmanager
def daemon(kind: type[socketserver.BaseServer], address: Any, **changes: Any) -> Iterator[Any]:
    handler = type("Changed", (Daemon,), changes)
    with kind(address, handler) as server:  # type: ignore[arg-type]
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
        thread.start()
        try:
            yield server.server_address
        finally:
            server.shutdown()
            thread.join()


@pytest.fixture
def listening(tmp_path: Path, settings: Any) -> Iterator[None]:
    path = tmp_path / "clamd.ctl"
    settings.VIRUS_SCANNER = f"unix://{path}"
    with daemon(socketserver.UnixStreamServer, str(path)):
        yield


@pytest.mark.usefixtures("listening")
@pytest.mark.parametrize("size", [0, 1, 256 * 1024, 256 * 1024 + 1, 900_000])
def test_a_file_in_which_nothing_is_found_goes_through(size: int) -> None:
    scan(b"a" * size)


@pytest.mark.usefixtures("listening")
@pytest.mark.parametrize("before", [0, 256 * 1024 - 30])
def test_what_is_found_is_named_and_refused(before: int) -> None:
    """Also where it lies over the edge of a piece."""
    with pytest.raises(ScanError, match="found “Eicar-Test-Signature” in it"):
        scan(b"a" * before + EICAR)


@pytest.mark.usefixtures("listening")
def test_a_pdf_goes_to_the_scanner_and_a_photograph_is_drawn_anew_without_one() -> None:
    assert take_evidence(Upload(PDF, "consent.pdf")).content.read() == PDF
    with pytest.raises(EvidenceError, match=r"“consent\.pdf” was not added: the club's scanner found"):
        take_evidence(Upload(PDF + EICAR, "consent.pdf"))
    assert EICAR not in take_evidence(Upload(encoded(quartered()) + EICAR, "paper.jpg")).content.read()


def test_it_is_asked_over_tcp_as_well(settings: Any) -> None:
    with daemon(socketserver.TCPServer, ("127.0.0.1", 0)) as (host, port):
        settings.VIRUS_SCANNER = f"tcp://{host}:{port}"
        scan(b"a")
        with pytest.raises(ScanError, match="Eicar"):
            scan(EICAR)


def test_where_nobody_answers_nothing_is_kept(tmp_path: Path, settings: Any) -> None:
    settings.VIRUS_SCANNER = f"unix://{tmp_path}/nobody"
    with pytest.raises(EvidenceError, match="does not answer, and nothing is kept that it has not seen"):
        take_evidence(Upload(PDF, "consent.pdf"))
    assert take_evidence(Upload(encoded(quartered()), "paper.jpg")).name == "paper.jpg"


@pytest.mark.parametrize(
    "changes",
    [
        {"limit": 10},
        {"answer": b""},
        {"answer": b"stream: OK FOUND maybe\0"},
        {"answer": b"stream: Can't allocate memory ERROR\0"},
        {"answer": b"x" * 10_000},
    ],
    ids=["too long for it", "silence", "no word of the protocol", "an error", "an answer without an end"],
)
def test_whatever_is_not_ok_is_refused(tmp_path: Path, settings: Any, changes: dict[str, Any]) -> None:
    settings.VIRUS_SCANNER = f"unix://{tmp_path}/clamd.ctl"
    with (
        daemon(socketserver.UnixStreamServer, f"{tmp_path}/clamd.ctl", **changes),
        pytest.raises(ScanError, match="does not answer"),
    ):
        scan(PDF * 20_000)


def test_without_a_scanner_nothing_is_asked(settings: Any) -> None:
    settings.VIRUS_SCANNER = ""
    scan(EICAR)
