"""Files that are kept as they came are shown to a scanner first, where a club has set one (VIRUS_SCANNER).

What a scanner does not answer “OK” to is refused: also when nobody answers, for then nobody has looked. Source: the
protocol of clamd, manual page clamd(8), INSTREAM: `zINSTREAM`, NUL; pieces, each behind its length as four bytes in
network order; a piece of length nought ends them; the answer ends with NUL: `stream: OK`, `stream: NAME FOUND`, or
words that end in `ERROR`. Any daemon that speaks it will do.
"""

import logging
import socket
from urllib.parse import urlsplit

from django.conf import settings
from django.utils.translation import gettext as _

log = logging.getLogger("stubble.scanner")
PIECE = 256 * 1024
LONGEST_ANSWER = 4096
LONGEST = 30
"""Seconds without a sign from the scanner."""


class ScanError(ValueError):
    """The file may not be kept; the sentence says why and what to do."""


def scan(data: bytes) -> None:
    """Return where the scanner finds nothing, or where a club has none. Raises ScanError."""
    if not settings.VIRUS_SCANNER:
        return
    try:
        answer = _asked(settings.VIRUS_SCANNER, data)
    except (OSError, ValueError) as error:
        log.error("The scanner did not answer: %s", type(error).__name__)
        raise ScanError(_away()) from error
    if answer == "stream: OK":
        return
    if answer.startswith("stream: ") and answer.endswith(" FOUND"):
        name = answer.removeprefix("stream: ").removesuffix(" FOUND")
        log.warning("The scanner refused a file.")
        raise ScanError(
            _(
                "the club's scanner found “%(name)s” in it. Do not send it again from that device before somebody has "
                "looked at it; a photograph of the paper can be sent instead"
            )
            % {"name": name}
        )
    log.error("The scanner could not look at a file.")
    raise ScanError(_away())


def _away() -> str:
    return _(
        "the club's scanner for harmful files does not answer, and nothing is kept that it has not seen. Try again in "
        "a few minutes, or send a photograph of the paper, which needs no scanner"
    )


def _asked(address: str, data: bytes) -> str:
    with _connected(address) as there:
        there.sendall(b"zINSTREAM\0")
        try:
            for start in range(0, len(data), PIECE):
                piece = data[start : start + PIECE]
                there.sendall(len(piece).to_bytes(4, "big") + piece)
            there.sendall(bytes(4))
        except (BrokenPipeError, ConnectionResetError):
            pass  # it has heard enough, as when a file is longer than it takes; what it says of it can still be read
        answer = b""
        while not answer.endswith(b"\0") and (more := there.recv(LONGEST_ANSWER)):
            answer += more
            if len(answer) > LONGEST_ANSWER:
                raise ValueError("an answer without an end")
    return answer.rstrip(b"\0\n").decode("utf-8", "replace")


def _connected(address: str) -> socket.socket:
    """unix:///run/clamav/clamd.ctl or tcp://127.0.0.1:3310."""
    parts = urlsplit(address)
    if parts.scheme == "tcp" and parts.hostname and parts.port:
        return socket.create_connection((parts.hostname, parts.port), timeout=LONGEST)
    if parts.scheme != "unix" or not parts.path:
        raise ValueError("VIRUS_SCANNER is no address of a scanner")
    there = socket.socket(socket.AF_UNIX)
    there.settimeout(LONGEST)
    try:
        there.connect(parts.path)
    except OSError:
        there.close()
        raise
    return there
