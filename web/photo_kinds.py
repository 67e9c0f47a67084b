"""What a file is by its first bytes, in words for the person who sent it."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

_HEIF_STARTS = (b"ftypheic", b"ftypheix", b"ftypmif1")
_STARTS = (
    (b"GIF8", _lazy("a GIF")),
    (b"%PDF", _lazy("a PDF")),
    (b"BM", _lazy("a bitmap")),
    (b"II*\0", _lazy("a TIFF or a camera's raw file")),
    (b"MM\0*", _lazy("a TIFF or a camera's raw file")),
    (b"%!PS", "PostScript"),
    (b"PK\3\4", _lazy("a zip file")),
)


def webp_size(data: bytes) -> tuple[int, int] | None:
    """Canvas size from an extended WEBP header; None for every other file. Source: RFC 9649, 2.7."""
    if data[:4] != b"RIFF" or data[8:16] != b"WEBPVP8X" or len(data) < 30:
        return None
    return int.from_bytes(data[24:27], "little") + 1, int.from_bytes(data[27:30], "little") + 1


def what_it_is(data: bytes) -> str | None:
    """What the content looks like, as a reason; None when it starts like a kind that should have opened."""
    head = data[:512].lstrip(b"\xef\xbb\xbf \t\r\n")
    if head.startswith((b"\xff\xd8", b"\x89PNG")) or data[8:12] == b"WEBP" or data[4:12] in _HEIF_STARTS:
        return None
    for start, words in _STARTS:
        if head.startswith(start):
            return _("its content is %(words)s, which is not taken as a photograph") % {"words": words}
    if data[4:8] == b"ftyp":
        return _("its content is a film or a kind of picture that cannot be read here")
    if b"\0" not in head and b"<svg" in data[:4096]:
        return _("its content is an SVG drawing, which is not taken as a photograph")
    if b"\0" not in head and all(byte >= 9 for byte in head):
        return _("its content is text, whatever its name says")
    return _("its content is not a picture of any kind known here, whatever its name says")
