"""Pictures made on the spot, and a reader of the segments and chunks inside them."""

import io
import struct
import zlib
from typing import Any

from PIL import Image
from PIL.ExifTags import GPS, IFD, Base

XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF>secret-xmp GPSLatitude 53,42.5N</rdf:RDF></x:xmpmeta>'


class Upload(io.BytesIO):
    """An uploaded file as Django hands it over."""

    def __init__(self, data: bytes, name: str = "IMG_0001.jpg", size: int | None = -1) -> None:
        super().__init__(data)
        self.name = name
        self.size = len(data) if size == -1 else size


def quartered(width: int = 120, height: int = 80) -> Image.Image:
    """A pale picture whose top left quarter is red, so that a turn shows."""
    image = Image.new("RGB", (width, height), (220, 215, 200))
    image.paste((190, 30, 30), (0, 0, width // 2, height // 2))
    return image


def exif(
    orientation: int = 1, gps: dict[int, Any] | None = None, taken: str = "2026:09:13 10:42:07"
) -> bytes:
    block = Image.Exif()
    block[Base.Orientation] = orientation
    block[Base.Make] = "secret-maker"
    block.get_ifd(IFD.Exif)[Base.DateTimeOriginal] = taken
    if gps is None:
        gps = {
            GPS.GPSLatitudeRef: "N",
            GPS.GPSLatitude: (53.0, 42.0, 30.0),
            GPS.GPSLongitudeRef: "W",
            GPS.GPSLongitude: (0.0, 15.0, 0.0),
            GPS.GPSHPositioningError: 4.5,
        }
    block.get_ifd(IFD.GPSInfo).update(gps)
    return block.tobytes()


def encoded(image: Image.Image, kind: str = "JPEG", **options: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def opened(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def jpeg_markers(data: bytes) -> list[int]:
    """The second byte of every marker before the scan. Source: ITU-T T.81, B.1."""
    assert data[:2] == b"\xff\xd8"
    at, markers = 2, []
    while data[at + 1] != 0xDA:
        assert data[at] == 0xFF
        markers.append(data[at + 1])
        at += 2 + struct.unpack(">H", data[at + 2 : at + 4])[0]
    return markers


def png_header(width: int, height: int) -> bytes:
    """A PNG that states a size and holds a few bytes. Source: W3C PNG, 11.2.1 (IHDR)."""
    chunks = (
        (b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)),
        (b"IDAT", zlib.compress(b"\0" * 99)),
        (b"IEND", b""),
    )
    body = b"".join(
        struct.pack(">I", len(d)) + n + d + struct.pack(">I", zlib.crc32(n + d)) for n, d in chunks
    )
    return b"\x89PNG\r\n\x1a\n" + body
