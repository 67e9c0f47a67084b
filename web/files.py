"""Private files: random names in the store, and answers that no cache keeps and no browser runs."""

import re
import secrets
from pathlib import Path
from typing import BinaryIO

from django.core.files.base import File
from django.http import FileResponse

INLINE_TYPES = frozenset({"image/jpeg", "image/png", "application/pdf", "text/plain"})
"""What a browser may show in place; all else is handed over as a download, whatever the caller asks."""
_ALONE = "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
SANDBOX = f"default-src 'none'; {_ALONE}; sandbox"
PDF_POLICY = f"default-src 'none'; object-src 'self'; style-src 'unsafe-inline'; {_ALONE}"
"""A browser's own PDF viewer refuses to start inside a sandbox."""
_EXTENSION = re.compile(r"[a-z0-9]{1,8}")
_PREFIX = re.compile(r"[a-z0-9][a-z0-9_-]*(/[a-z0-9][a-z0-9_-]*)*")


def private_file(
    file: "File[bytes] | BinaryIO | Path", *, content_type: str, filename: str, inline: bool = True
) -> FileResponse:
    """Answer with a file that the caller has checked the person may have; the response closes it.

    The browser must not guess another type, keep a copy, run anything inside, or let another site embed it.
    `filename` may hold any characters; Django writes it as RFC 6266 asks. Raises FileNotFoundError for a path
    that is not there.
    """
    stream = file.open("rb") if isinstance(file, Path) else file
    kind = content_type.split(";")[0].strip().lower()
    shown = inline and kind in INLINE_TYPES
    response = FileResponse(
        stream, as_attachment=not shown, filename=plain_filename(filename), content_type=content_type
    )
    response["X-Content-Type-Options"] = "nosniff"
    response["Cache-Control"] = "private, no-store"
    response["Content-Security-Policy"] = PDF_POLICY if kind == "application/pdf" else SANDBOX
    response["Cross-Origin-Resource-Policy"] = "same-origin"
    response["X-Robots-Tag"] = "noindex, nofollow"
    return response


def private_name(prefix: str, ext: str) -> str:
    """A name in the private store that cannot be guessed: 'photos/3f/3f…e1.jpg', 128 random bits.

    `prefix` and `ext` are the program's own words, lower case. Raises ValueError for any other.
    """
    bare = ext.removeprefix(".")
    if not _PREFIX.fullmatch(prefix) or not _EXTENSION.fullmatch(bare):
        raise ValueError(
            f"{prefix!r} and {ext!r} make no private name; use lower-case words such as 'photos', 'jpg'"
        )
    word = secrets.token_hex(16)
    return f"{prefix}/{word[:2]}/{word}.{bare}"


def plain_filename(name: str) -> str:
    """A download name without folders, control characters or leading dots: 1 to 120 characters."""
    last = name.replace("\\", "/").rsplit("/", 1)[-1]
    return "".join(c for c in last if c.isprintable()).strip(". ")[:120] or "file"
