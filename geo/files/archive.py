"""Zip files, unpacked in memory only and only as far as asked: no bomb, no nesting, no path tricks."""

import io
import stat
import zipfile
import zlib
from pathlib import PurePosixPath

from geo.errors import shown
from geo.files.model import FileError, Limits
from tongue import figure, noop
from tongue import say as _

MAX_ENTRIES = 2_000
MAX_CENTRAL_BYTES = 1_000_000
_PACKED = (".zip", ".kmz", ".gz", ".7z", ".rar", ".tar", ".bz2", ".xz")
_PACK_AGAIN = noop("pack it again with only the files of the map layer inside")


class Archive:
    """The files of a zip by name. `read` unpacks one, never past the limit, and counts against it."""

    def __init__(self, data: bytes, limits: Limits) -> None:
        """Raises FileError for a broken or suspicious zip."""
        _check_directory(data)
        try:
            self._zip = zipfile.ZipFile(io.BytesIO(data))
        except (zipfile.BadZipFile, ValueError, NotImplementedError, OverflowError, UnicodeError) as error:
            raise FileError(
                _("The zip cannot be opened (%(str)s)") % {"str": shown(str(error))},
                value=str(error),
                remedy=_("make it again"),
            ) from error
        self._left = limits.unpacked_bytes
        self._limit = limits.unpacked_bytes
        self._members = {i.filename: i for i in self._zip.infolist() if _is_wanted(i)}
        if len(self._zip.infolist()) > MAX_ENTRIES:
            raise FileError(
                _("The zip holds %(infolist)s files")
                % {"infolist": figure(f"{len(self._zip.infolist()):,}")},
                value=len(self._members),
                remedy=_(_PACK_AGAIN),
            )

    def names(self, *endings: str) -> list[str]:
        """Names with one of the endings, whatever their case: shallow folders first, then in order."""
        found = [name for name in self._members if name.lower().endswith(endings)]
        return sorted(found, key=lambda name: (name.count("/"), name.lower()))

    def beside(self, name: str, ending: str) -> str | None:
        """The file with the same stem in the same folder and another ending."""
        stem = name[: name.rindex(".")].lower()
        return next((n for n in self._members if n.lower() == stem + ending), None)

    def nested(self) -> list[str]:
        """Files that are themselves packed."""
        return self.names(*_PACKED)

    def read(self, name: str) -> bytes:
        """The unpacked file. Raises FileError past the limit or if it is broken."""
        member = self._members[name]
        if member.file_size > self._left:
            raise self._too_large(name)
        try:
            with self._zip.open(member) as stream:
                data = stream.read(min(member.file_size, self._left) + 1)
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, NotImplementedError) as error:
            raise FileError(
                _("“%(name)s” in the zip is broken (%(str)s)")
                % {"name": shown(name), "str": shown(str(error))},
                value=name,
                remedy=_("make it again"),
            ) from error
        if len(data) > self._left:
            raise self._too_large(name)
        self._left -= len(data)
        return data

    def _too_large(self, name: str) -> FileError:
        return FileError(
            _("The zip unpacks to more than %(limit)s MB at “%(name)s”")
            % {"limit": f"{self._limit / 1000000.0:.0f}", "name": shown(name)},
            value=name,
            remedy=_("keep only the fields you need"),
        )


def _check_directory(data: bytes) -> None:
    """The list of files is read whole by `zipfile`, so its length is looked at first (APPNOTE 4.3.16)."""
    end = data.rfind(b"PK\x05\x06", max(0, len(data) - 66_000))
    if end < 0 or len(data) < end + 22:
        raise FileError(
            _("The zip breaks off before its end"), value=len(data), remedy=_("send it again, whole")
        )
    size = int.from_bytes(data[end + 12 : end + 16], "little")
    if size > MAX_CENTRAL_BYTES:
        raise FileError(
            _("The zip's list of files is %(size)s bytes") % {"size": figure(f"{size:,}")},
            value=size,
            remedy=_(_PACK_AGAIN),
        )


def _is_wanted(info: zipfile.ZipInfo) -> bool:
    """False for folders and a system's own clutter. Raises FileError for what no map layer ever has."""
    name = info.filename
    path = PurePosixPath(name.replace("\\", "/"))
    if (
        path.is_absolute()
        or ".." in path.parts
        or ":" in path.parts[0:1]
        or "\x00" in name
        or name[1:2] == ":"
    ):
        raise FileError(
            _("The zip holds a name that leads out of its folder (“%(name)s”)") % {"name": shown(name)},
            value=name,
            remedy=_(_PACK_AGAIN),
        )
    if stat.S_ISLNK(info.external_attr >> 16):
        raise FileError(
            _("“%(name)s” in the zip is a link") % {"name": shown(name)}, value=name, remedy=_(_PACK_AGAIN)
        )
    clutter = "__MACOSX" in path.parts or path.name.startswith(".")
    if not name or name.endswith("/") or clutter:
        return False
    if info.flag_bits & 0x1:
        raise FileError(
            _("“%(name)s” in the zip is locked with a password") % {"name": shown(name)},
            value=name,
            remedy=_("pack it without one"),
        )
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise FileError(
            _("“%(name)s” is packed in an unusual way (method %(compress_type)s)")
            % {"name": shown(name), "compress_type": info.compress_type},
            value=info.compress_type,
            remedy=_("make an ordinary zip (deflate)"),
        )
    return True
