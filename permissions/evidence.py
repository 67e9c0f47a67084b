"""The file that shows a consent: a PDF or a picture, known by its content and kept under a name nobody can guess."""

from dataclasses import dataclass

from django.core.files.base import ContentFile
from django.utils.translation import gettext as _

from tongue import noop
from web.files import plain_filename, private_name
from web.photos import PhotoError, Upload, shown_name, size_words, take_in
from web.virus_scan import ScanError, scan

MAX_BYTES = 10 * 1024 * 1024
TYPES = {"pdf": "application/pdf", "jpg": "image/jpeg"}
_REMEDY = noop("Scan the paper as a PDF or photograph it, and send that")


class EvidenceError(ValueError):
    """The file cannot be kept as evidence; the sentence names it and says what to send."""


@dataclass(frozen=True)
class Evidence:
    """A file fit to keep: its content, the name it came with, and its name in the private store."""

    content: "ContentFile[bytes]"
    name: str
    store_name: str


def take_evidence(upload: Upload) -> Evidence:
    """Read an upload and check its content: a PDF is kept as it is, a picture as a clean JPEG of up to 2560 px.

    A photographed agreement would otherwise carry the farmhouse's position. Raises EvidenceError for a kind or
    size that is not taken. Call it outside any transaction.
    """
    name = shown_name(upload.name)
    if (upload.size or 0) > MAX_BYTES:
        size, most = size_words(upload.size or 0), size_words(MAX_BYTES)
        raise EvidenceError(
            _("“%(name)s” was not added: it has %(size)s. Send a file of at most %(most)s.")
            % {"name": name, "size": size, "most": most}
        )
    data = upload.read(MAX_BYTES + 1)
    if data.startswith(b"%PDF-"):
        return _kept(_scanned(data, name), name, "pdf")
    try:
        return _kept(take_in(_Again(name, data), max_bytes=MAX_BYTES).display, name, "jpg")
    except PhotoError as error:
        reason = error.reason.replace("taken as a photograph", "taken as evidence")
        raise EvidenceError(
            _("“%(name)s” was not added: %(reason)s. %(remedy)s.")
            % {"name": name, "reason": reason, "remedy": _(_REMEDY)}
        ) from error


def _scanned(data: bytes, name: str) -> bytes:
    """A picture is drawn anew, so nothing of what it was is left; a PDF is kept as it came, and looked at first."""
    try:
        scan(data)
    except ScanError as error:
        raise EvidenceError(
            _("“%(name)s” was not added: %(why)s.") % {"name": name, "why": str(error)}
        ) from error
    return data


def _kept(data: bytes, name: str, ext: str) -> Evidence:
    return Evidence(
        ContentFile(data), plain_filename(f"{name.rsplit('.', 1)[0]}.{ext}"), private_name("consents", ext)
    )


class _Again:
    """Bytes already read, as an upload."""

    def __init__(self, name: str, data: bytes) -> None:
        self.name, self.size = name, len(data)
        self._data = data

    def read(self, length: int, /) -> bytes:
        piece, self._data = self._data[:length], self._data[length:]
        return piece


def content_type_of(file_name: str) -> str:
    """The type under which a stored evidence file is served; its ending was given by its content."""
    return TYPES.get(file_name.rsplit(".", 1)[-1], "application/octet-stream")
