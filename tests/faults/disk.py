"""A disk that can be filled to the last byte and emptied again: a small one of memory, or a limit on files' length."""

import os
import resource
import subprocess
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path

SIZE_MB = 900
LONGEST = 48 * 1024
"""Bytes that a file may have under the limit: less than any database, a report or a photograph."""


class SmallDisk:
    """A file system in memory; full means full for database, photographs and all. Only root may mount one."""

    words = f"a memory disk of {SIZE_MB} MB, filled to the last byte"

    def __init__(self, folder: Path) -> None:
        self.folder, self.ballast = folder, folder / "ballast"
        command = ["mount", "-t", "tmpfs", "-o", f"size={SIZE_MB}m,mode=0711", "tmpfs", str(folder)]
        subprocess.run(command, check=True, capture_output=True)

    def fill(self) -> None:
        with self.ballast.open("wb") as file, suppress(OSError):
            while True:  # a smaller and smaller piece, until not one byte is left
                free = os.statvfs(self.folder).f_bavail * os.statvfs(self.folder).f_bsize
                os.posix_fallocate(file.fileno(), file.seek(0, os.SEEK_END), max(free, 1))

    def free(self) -> None:
        self.ballast.unlink(missing_ok=True)

    def end(self) -> None:
        subprocess.run(["umount", "-l", str(self.folder)], check=False, capture_output=True)


class ShortFiles:
    """For who is not root: the server's processes may write no file longer than a little (RLIMIT_FSIZE)."""

    words = f"RLIMIT_FSIZE of {LONGEST:,} bytes on the server's processes"

    def __init__(self, processes: Callable[[], Iterable[int]]) -> None:
        self.processes = processes

    def fill(self) -> None:
        self._limit(LONGEST)

    def free(self) -> None:
        self._limit(resource.RLIM_INFINITY)

    def _limit(self, most: int) -> None:
        for process in self.processes():
            with suppress(ProcessLookupError):
                resource.prlimit(process, resource.RLIMIT_FSIZE, (most, resource.RLIM_INFINITY))

    def end(self) -> None:
        """Nothing is left to take away."""


def may_mount(folder: Path) -> bool:
    """Can a memory disk be mounted here? Root in a container often may not."""
    if os.geteuid() != 0:
        return False
    tried = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(folder)], check=False, capture_output=True
    )
    subprocess.run(["umount", str(folder)], check=False, capture_output=True)
    return tried.returncode == 0
