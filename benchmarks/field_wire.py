"""A wire between a phone and the server that counts what goes over it, headers and all."""

import socket
import threading
from contextlib import closing, suppress


class Wire:
    """Listens on a port of its own and passes everything on to `port`; `sent` and `received` as the phone sees it."""

    def __init__(self, port: int) -> None:
        self.to, self.sent, self.received = port, 0, 0
        self.door = socket.create_server(("127.0.0.1", 0))
        self.url = f"http://127.0.0.1:{self.door.getsockname()[1]}"
        threading.Thread(target=self._let_in, daemon=True).start()

    def _let_in(self) -> None:
        with suppress(OSError):
            while True:
                phone, _ = self.door.accept()
                server = socket.create_connection(("127.0.0.1", self.to))
                threading.Thread(target=self._carry, args=(phone, server, "sent"), daemon=True).start()
                threading.Thread(target=self._carry, args=(server, phone, "received"), daemon=True).start()

    def _carry(self, come: socket.socket, go: socket.socket, way: str) -> None:
        with suppress(OSError), closing(go):
            while data := come.recv(65_536):
                setattr(self, way, getattr(self, way) + len(data))
                go.sendall(data)

    def since(self, before: tuple[int, int] = (0, 0)) -> tuple[int, int]:
        """Bytes sent and received since an earlier answer."""
        return self.sent - before[0], self.received - before[1]

    def close(self) -> None:
        self.door.close()
