"""Photo intake: a camera's file becomes an upright JPEG and a thumbnail that keep quiet about the place."""

import hashlib
import io
import threading
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Protocol

import pi_heif
from django.utils.translation import gettext as _
from PIL import Image

from tongue import figure, noop
from web.photo_facts import read_facts
from web.photo_kinds import webp_size, what_it_is
from web.photo_pixels import jpeg, smaller, upright

pi_heif.register_heif_opener()

FORMATS = ("JPEG", "PNG", "WEBP", "HEIF")
DISPLAY_PX, THUMB_PX, QUALITY = 2560, 480, 85
MAX_BYTES = 30 * 1024 * 1024
MAX_PIXELS = 50_000_000
_PIECE = 1024 * 1024
_READABLE = noop("Send a JPEG, PNG, WEBP or HEIC photograph")
# Measured peaks at 50 million pixels: JPEG 130 MB, HEIC 380 MB, PNG with alpha 650 MB; hence one at a time.
_one_at_a_time = threading.BoundedSemaphore(1)


class Upload(Protocol):
    """What is read of an uploaded file; Django's UploadedFile fits. A size of None means unknown."""

    name: Any
    size: Any

    def read(self, length: int, /) -> bytes: ...


@dataclass(frozen=True)
class TakenPhoto:
    """Two clean JPEGs, the larger one's size in pixels, what the EXIF said, the original's kind and hash."""

    display: bytes
    thumb: bytes
    width: int
    height: int
    taken_at: datetime | None
    lon: float | None
    lat: float | None
    accuracy_m: float | None
    sha256: str
    kind: str


class PhotoError(ValueError):
    """A file that was not taken in: its name, the reason and what to do, as one sentence for the person."""

    def __init__(self, name: str, reason: str, remedy: str) -> None:
        self.name, self.reason, self.remedy = name, reason, remedy
        super().__init__(
            _("“%(name)s” was not added: %(reason)s. %(remedy)s.")
            % {"name": name, "reason": reason, "remedy": remedy}
        )


def take_in(upload: Upload, *, max_bytes: int = MAX_BYTES, max_pixels: int = MAX_PIXELS) -> TakenPhoto:
    """Clean, upright JPEG copies of an uploaded photograph, at most 2560 px and 480 px on the longer side.

    The kind is judged by content, never by name. EXIF, XMP, comments, embedded thumbnails and colour profiles
    are dropped (colours are first converted to sRGB); position and time are returned apart. Animations give
    their first picture. Takes 0.3 s (JPEG) to 1 s (HEIC) at 12 million pixels, one at a time: call it outside any
    transaction. Raises PhotoError, naming the file, for anything too large, cut off or not a known kind.
    """
    name = shown_name(upload.name)
    data = _read(upload, name, max_bytes)
    with _one_at_a_time:
        try:
            return _convert(data, name, max_pixels)
        except PhotoError:
            raise
        except (Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
            raise _too_many_pixels(name, _("far more"), max_pixels) from error
        except MemoryError as error:
            raise _too_many_pixels(name, _("too many"), max_pixels) from error
        except Exception as error:  # decoders raise OSError, SyntaxError, struct.error and more
            raise PhotoError(
                name,
                _("the picture is damaged or was cut off on the way (%(size_words)s arrived)")
                % {"size_words": size_words(len(data))},
                _("Open it on the device to see whether it is whole, then send it again"),
            ) from error


def shown_name(name: object) -> str:
    """A file name fit to print in a message: no folders, no control characters, at most 80 characters."""
    last = str(name or "").replace("\\", "/").rsplit("/", 1)[-1]
    return "".join(c for c in last if c.isprintable())[:80].strip() or _("unnamed file")


def size_words(size: int) -> str:
    """Bytes as people say them: '512 bytes', '48 kB', '3.6 MB'."""
    if size < 1000:
        return _("%(size)s bytes") % {"size": size}
    return (
        _("%(value)s kB") % {"value": figure(f"{size / 1000:.0f}")}
        if size < 1_000_000
        else _("%(value)s MB") % {"value": figure(f"{size / 1000000:.1f}")}
    )


def _read(upload: Upload, name: str, max_bytes: int) -> bytes:
    """The whole file. The stated size is believed only to refuse, so that nothing larger is ever held."""
    if upload.size is not None and upload.size > max_bytes:
        raise _too_large(name, _("it is %(size_words)s") % {"size_words": size_words(upload.size)}, max_bytes)
    data = bytearray()
    while piece := upload.read(_PIECE):
        data += piece
        if len(data) > max_bytes:
            raise _too_large(
                name, _("it is more than %(size_words)s") % {"size_words": size_words(max_bytes)}, max_bytes
            )
    if not data:
        raise PhotoError(
            name, _("it is empty (0 bytes)"), _("Choose it again; it may not have been saved yet")
        )
    return bytes(data)


def _convert(data: bytes, name: str, max_pixels: int) -> TakenPhoto:
    with _open(data, name, max_pixels) as image:
        facts = read_facts(image)
        kind = "JPEG" if image.format == "MPO" else str(image.format)
        picture = upright(image, facts.turn, DISPLAY_PX)
    return TakenPhoto(
        jpeg(picture, QUALITY),
        jpeg(smaller(picture, THUMB_PX), QUALITY),
        *picture.size,
        facts.taken_at,
        facts.lon,
        facts.lat,
        facts.accuracy_m,
        hashlib.sha256(data).hexdigest(),
        kind,
    )


def _open(data: bytes, name: str, max_pixels: int) -> Image.Image:
    """The image with its header read and its size judged; no pixel is decoded yet."""
    stated = webp_size(data)  # Pillow sets aside WEBP's whole canvas on opening
    if stated and stated[0] * stated[1] > max_pixels:
        raise _too_many_pixels(name, f"{stated[0]} × {stated[1]}", max_pixels)
    try:
        image = Image.open(io.BytesIO(data), formats=FORMATS)
    except OSError as error:
        found = what_it_is(data)
        if found is None:
            raise
        raise PhotoError(name, found, _(_READABLE)) from error
    if image.width * image.height > max_pixels:
        image.close()
        raise _too_many_pixels(name, f"{image.width} × {image.height}", max_pixels)
    return image


def _too_large(name: str, reason: str, max_bytes: int) -> PhotoError:
    return PhotoError(
        name,
        reason,
        _("Send a smaller or JPEG copy of at most %(size_words)s") % {"size_words": size_words(max_bytes)},
    )


def _too_many_pixels(name: str, count: str, max_pixels: int) -> PhotoError:
    reason = _("the picture has %(count)s pixels, more than %(value)s million") % {
        "count": count,
        "value": max_pixels // 1000000,
    }
    return PhotoError(
        name, reason, _("Send a smaller copy; 2560 pixels on the longer side is all that is kept")
    )
