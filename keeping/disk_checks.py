"""What `manage.py check --deploy` tells of disks: who else reads the files, what room is left, whose disk it is."""

import shutil
import stat
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from django.apps import AppConfig
from django.core import checks
from django.core.checks import CheckMessage, Tags, register
from django.core.files.storage import FileSystemStorage, default_storage
from django.db import connection

MOUNTS = Path("/proc/mounts")
FAR_DISKS = frozenset(
    {"nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "ceph", "afs", "fuse.sshfs", "fuse.glusterfs", "fuse.s3fs"}
)
"""SQLite, “Write-Ahead Logging” (sqlite.org/wal.html): all processes must be on the same computer; it does not work
over a network file system. The names are those of Linux."""
LEAST_FREE = 1_000_000_000
"""Bytes: a day of photographs, and a backup beside them."""


def _told(number: int, words: str, hint: str) -> CheckMessage:
    return checks.Warning(words, hint=hint, id=f"stubble.W0{number}")


@register(Tags.security, deploy=True)
def disks_are_safe(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    places = [place for place in (_photographs(), sqlite_file()) if place is not None]
    return [*_far(), *_readable(places), *_room(places)]


def _photographs() -> Path | None:
    return Path(default_storage.location) if isinstance(default_storage, FileSystemStorage) else None


def sqlite_file() -> Path | None:
    """The database's own file, where it has one."""
    name = str(connection.settings_dict["NAME"])
    is_file = connection.vendor == "sqlite" and ":memory:" not in name and "mode=memory" not in name
    return Path(name) if is_file else None


def is_empty_sqlite() -> bool:
    """Is there no database yet? To ask one would make its file."""
    file = sqlite_file()
    return file is not None and not file.exists()


def _far() -> Iterator[CheckMessage]:
    file = sqlite_file()
    if file is None or (kind := disk_kind(file, _mounts())) not in FAR_DISKS:
        return
    yield _told(
        32,
        f"The database {file} lies on a network disk ({kind}); SQLite loses records there when two write at once.",
        "Put it on a disk of the server itself, or use PostgreSQL (DATABASE_URL=postgres://…).",
    )


def _mounts() -> str:
    try:
        return MOUNTS.read_text(encoding="utf-8", errors="replace")
    except OSError:  # no Linux: it cannot be told
        return ""


def disk_kind(path: Path, mounts: str) -> str:
    """The kind of file system that `path` is on: that of the longest mount point above it."""
    found, kind = "", ""
    for line in mounts.splitlines():
        _, point, this, *_ = [*line.split(" "), "", "", ""]
        point = point.replace("\\040", " ")
        if path.resolve().is_relative_to(point or "-") and len(point) >= len(found):
            found, kind = point, this
    return kind


def _readable(places: list[Path]) -> Iterator[CheckMessage]:
    for place in places:
        closed = next(
            (each for each in (place, place.parent) if each.exists() and not _others_enter(each)), None
        )
        if place.exists() and closed is None:
            others = stat.filemode(place.stat().st_mode)
            yield _told(
                34,
                f"Other users of the server may read {place} ({others}): photographs, papers or every record.",
                f"Run chmod go-rwx {place} as its owner.",
            )


def _others_enter(path: Path) -> bool:
    return bool(stat.S_IMODE(path.stat().st_mode) & 0o077)


def _room(places: list[Path]) -> Iterator[CheckMessage]:
    for place in places:
        there = next((each for each in (place, *place.parents) if each.exists()), None)
        if there and (free := shutil.disk_usage(there).free) < LEAST_FREE:
            yield _told(
                35,
                f"The disk of {place} has {free / 1e6:,.0f} MB left; when it is full nothing more can be written down.",
                f"Make room until {LEAST_FREE / 1e9:.0f} GB are free, or move to a larger disk: backup, then restore.",
            )
