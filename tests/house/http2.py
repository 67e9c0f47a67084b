"""Just enough of HTTP/2 for one request whose length lies. RFC 9113; header fields as literals (RFC 7541, 6.2.2)."""

import socket
import ssl

PREFACE = b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n"
DATA, HEADERS, RST_STREAM, SETTINGS, GOAWAY = 0, 1, 3, 4, 7
END_STREAM, ACK, END_HEADERS = 1, 1, 4
STATUSES = {8: "200", 9: "204", 10: "206", 11: "304", 12: "400", 13: "404", 14: "500"}  # RFC 7541, appendix A


def frame(kind: int, flags: int, stream: int, payload: bytes = b"") -> bytes:
    return len(payload).to_bytes(3, "big") + bytes([kind, flags]) + stream.to_bytes(4, "big") + payload


def fields(*pairs: tuple[str, str]) -> bytes:
    """Each as a literal without indexing, new name, no Huffman coding; shorter than 127 bytes each."""
    out = b""
    for name, value in pairs:
        out += b"\0" + bytes([len(name)]) + name.encode() + bytes([len(value)]) + value.encode()
    return out


def ask(port: int, certificate: str, path: str, length: str, *pieces: bytes, host: str = "localhost") -> str:
    """POST `pieces` while the header says `length`: the status, or how the other side refused."""
    context = ssl.create_default_context(cafile=certificate)
    context.set_alpn_protocols(["h2"])
    head = fields(
        (":method", "POST"),
        (":scheme", "https"),
        (":path", path),
        (":authority", host),
        ("content-length", length),
    )
    with (
        socket.create_connection(("127.0.0.1", port), timeout=30) as plain,
        context.wrap_socket(plain, server_hostname=host) as closed,
    ):
        assert closed.selected_alpn_protocol() == "h2"
        body = b"".join(frame(DATA, 0, 1, piece) for piece in pieces[:-1]) + frame(
            DATA, END_STREAM, 1, pieces[-1]
        )
        closed.sendall(PREFACE + frame(SETTINGS, 0, 0) + frame(HEADERS, END_HEADERS, 1, head) + body)
        return _outcome(closed)


def _outcome(closed: ssl.SSLSocket) -> str:
    with closed.makefile("rb") as stream:
        while head := stream.read(9):
            kind, payload = head[3], stream.read(int.from_bytes(head[:3], "big"))
            if kind == HEADERS:
                return STATUSES.get(payload[0] & 0x7F, "another")
            if kind in (RST_STREAM, GOAWAY):
                return "refused"
    return "closed"
