"""A mail server for tests that speaks as much of RFC 5321 as a client needs, and misbehaves when told to."""

import socketserver
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any


class MailServer(socketserver.ThreadingTCPServer):
    """`received` holds (recipient, bytes); `say` what to answer in place of the usual at a verb, or at 'END'.

    A `say` of None hangs: nothing is answered until the server goes. 'CLOSE' closes without a word. The first answer
    waits until `meet` talks have begun, so that two senders really work side by side.
    """

    allow_reuse_address = True
    daemon_threads = True
    block_on_close = False

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), _Talk)
        self.received: list[tuple[str, bytes]] = []
        self.say: dict[str, str | None] = {}
        self.for_address: dict[str, str] = {}
        self.talks = 0
        self.meet = 0
        self.gone = threading.Event()

    @property
    def port(self) -> int:
        return int(self.server_address[1])


class _Talk(socketserver.StreamRequestHandler):
    server: MailServer

    def answer(self, verb: str, usual: str) -> bool:
        """Answer; False when the talk is over."""
        words = self.server.say.get(verb, usual)
        if words is None:
            self.server.gone.wait(60)
            return False
        if words == "CLOSE":
            return False
        self.wfile.write(f"{words}\r\n".encode())
        return not words.startswith("421")

    def handle(self) -> None:
        self.server.talks += 1
        while self.server.talks < self.server.meet and not self.server.gone.wait(0.02):
            pass
        to = ""
        if not self.answer("CONNECT", "220 sand.example"):
            return
        while line := self.rfile.readline():
            verb = line.split()[0].upper().decode() if line.split() else ""
            usual = {"EHLO": "250 sand.example", "QUIT": "221 bye", "DATA": "354 go on"}.get(verb, "250 OK")
            if verb == "RCPT":
                to = line.decode().split("<")[1].split(">")[0]
                usual = self.server.for_address.get(to, usual)
            if not self.answer(verb, usual):
                return
            if verb == "DATA" and self.server.say.get("DATA", "354").startswith("354"):  # type: ignore[union-attr]
                self.server.received.append((to, self.read_data()))
                if not self.answer("END", "250 taken"):
                    return
            if verb == "QUIT":
                return

    def read_data(self) -> bytes:
        lines: list[bytes] = []
        while (line := self.rfile.readline()) not in (b".\r\n", b""):
            lines.append(line.removeprefix(b".") if line.startswith(b"..") else line)
        return b"".join(lines)


@contextmanager
def running() -> Iterator[MailServer]:
    with MailServer() as server:
        threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True).start()
        try:
            yield server
        finally:
            server.gone.set()
            server.shutdown()


def settings_for(server: MailServer) -> dict[str, Any]:
    """The settings that send to it."""
    return {
        "EMAIL_BACKEND": "web.smtp.EmailBackend",
        "EMAIL_HOST": "127.0.0.1",
        "EMAIL_PORT": server.port,
        "EMAIL_TIMEOUT": 1,
    }
