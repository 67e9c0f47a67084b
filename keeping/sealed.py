"""A tar file inside an age file, written and read as a stream: nothing lies about unsealed, nothing is held whole.

Source: age-encryption.org/v1 (C2SP): the payload is sealed in pieces of 64 KiB that are numbered, the last one
marked, so a changed, swapped or cut-off file is noticed. POSIX.1-2001 (pax) for the tar file.
"""

import os
import tarfile
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, NamedTuple

import pyrage
from django.utils.translation import gettext as _

from keeping.errors import KeepingError

BLOCK = tarfile.BLOCKSIZE


class Member(NamedTuple):
    """One file of the tar file. `pieces` have `size` bytes together."""

    name: str
    size: int
    pieces: Iterable[bytes]


class _Reader:
    """What is read of a generator of bytes by whoever asks for a number of them. `fault` is what went wrong in it."""

    def __init__(self, pieces: Iterator[bytes]) -> None:
        self._pieces, self._rest = pieces, memoryview(b"")
        self.fault: Exception | None = None

    def read(self, size: int = -1) -> bytes:
        try:
            while not self._rest:
                self._rest = memoryview(next(self._pieces))
        except StopIteration:
            return b""
        except Exception as error:
            self.fault = error
            raise
        end = size if size >= 0 else len(self._rest)
        taken, self._rest = self._rest[:end], self._rest[end:]
        return bytes(taken)


def seal(path: Path, recipients: list[pyrage.x25519.Recipient], members: Iterable[Member]) -> None:
    """Write the sealed file to `path`, for its owner only, whole or not at all."""
    part = path.with_name(path.name + ".part")
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    try:
        with os.fdopen(handle, "wb") as file:
            _encrypt(_Reader(_tar(members)), file, recipients)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def _encrypt(reader: _Reader, file: IO[bytes], recipients: list[pyrage.x25519.Recipient]) -> None:
    try:
        pyrage.encrypt_io(reader, file, recipients)
    except pyrage.EncryptError as error:  # the library keeps only the words of what went wrong in reading
        raise reader.fault or KeepingError(
            _("The backup could not be written: %(error)s.") % {"error": error}
        ) from error


def _tar(members: Iterable[Member]) -> Iterator[bytes]:
    for name, size, pieces in members:
        info = tarfile.TarInfo(name)
        info.size, info.mode = size, 0o600
        yield info.tobuf(tarfile.PAX_FORMAT)
        written = 0
        for piece in pieces:
            written += len(piece)
            yield piece
        if written != size:
            raise KeepingError(
                _("%(name)s changed while it was read: %(written)s bytes instead of %(size)s. Try again.")
                % {"name": name, "written": written, "size": size}
            )
        yield bytes(-size % BLOCK)
    yield bytes(2 * BLOCK)


@contextmanager
def opened(path: Path, keys: list[pyrage.x25519.Identity]) -> Iterator[tarfile.TarFile]:
    """Yield the tar file, to be read once from front to back.

    Raises KeepingError, at the latest on leaving, for a wrong key and for a file that was cut off or changed: only what
    was done with the content before that has to be taken back.
    """
    faults: list[Exception] = []
    read_end, write_end = os.pipe()
    pump = threading.Thread(target=_pump, args=(path, keys, write_end, faults), daemon=True)
    pump.start()
    try:
        with os.fdopen(read_end, "rb") as pipe:
            with tarfile.open(fileobj=pipe, mode="r|") as tar:
                yield tar
            while pipe.read(64 * 1024):  # to the end: the last piece is what shows that nothing was cut off
                pass
        pump.join()
    except Exception as error:
        pump.join()
        if faults:
            raise _said(path, faults[0]) from error
        if isinstance(error, tarfile.TarError | EOFError):
            raise KeepingError(
                _("%(path_name)s holds no backup of this program.") % {"path_name": path.name}
            ) from error
        raise
    if faults:
        raise _said(path, faults[0])


class _Pipe:
    """The end of a pipe that is written to. `is_shut` once nobody reads it any more: that is no fault of the file."""

    def __init__(self, write_end: int) -> None:
        self._file, self.is_shut = os.fdopen(write_end, "wb"), False

    def write(self, data: bytes) -> int:
        try:
            return self._file.write(data)
        except BrokenPipeError:
            self.is_shut = True
            raise

    def flush(self) -> None:
        pass  # closing does it, and says when nobody reads

    def close(self) -> None:
        try:
            self._file.close()
        except BrokenPipeError:
            self.is_shut = True


def _pump(path: Path, keys: list[pyrage.x25519.Identity], write_end: int, faults: list[Exception]) -> None:
    pipe = _Pipe(write_end)
    try:
        with path.open("rb") as source:
            pyrage.decrypt_io(source, pipe, keys)
    except Exception as error:  # whatever it is, the reader tells it
        if not pipe.is_shut:
            faults.append(error)
    finally:
        pipe.close()


def _said(path: Path, fault: Exception) -> KeepingError:
    if isinstance(fault, FileNotFoundError | PermissionError | IsADirectoryError):
        return KeepingError(
            _("%(path)s cannot be read: %(fault_strerror)s.")
            % {"path": path, "fault_strerror": fault.strerror}
        )
    if "No matching keys" in str(fault):
        return KeepingError(
            _("This key does not open %(path_name)s: it was sealed for another one.")
            % {"path_name": path.name}
        )
    if isinstance(fault, pyrage.DecryptError):
        return KeepingError(
            _("%(path_name)s is no backup, or its beginning is damaged (%(fault)s).")
            % {"path_name": path.name, "fault": fault}
        )
    return KeepingError(
        _(
            "%(path_name)s was cut off or changed since it was made (%(fault)s). Nothing in it can be "
            "relied on; use another."
        )
        % {"path_name": path.name, "fault": fault}
    )


def read_all(tar: tarfile.TarFile, info: tarfile.TarInfo) -> IO[bytes]:
    """The content of a member. Raises KeepingError for anything that is no plain file."""
    file = tar.extractfile(info) if info.isfile() else None
    if file is None:
        raise KeepingError(_("“%(info_name)s” in the backup is no plain file.") % {"info_name": info.name})
    return file
