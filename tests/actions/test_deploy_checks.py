"""What `check --deploy` says of an installation: each fault by itself, and nothing of one that is sound."""

import os
import shutil
import time
from collections import namedtuple
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.checks import run_checks
from django.utils.timezone import now

from keeping import deploy_checks, disk_checks
from keeping.disk_checks import disk_kind
from keeping.trail import note
from tests import make

pytestmark = pytest.mark.django_db
DAY = timedelta(1)
LONG = "zR4-a-test-value-with-many-different-characters-0192837465-qwertyuiop"
AGE = "age1u4x4s8ddhpja4m0s4qvnh3klw5mamyst87huqkvhuhm89yh6rfmsqqvrrl"  # opened by nobody
S3 = {"BACKEND": "web.object_storage.PrivateObjects", "OPTIONS": {"endpoint_url": "http://store.example"}}


@pytest.fixture(autouse=True)
def sound(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An installation of which there is nothing to say."""
    make.club()
    note("club.backup", via="backup", at=now() - DAY, rows=1, files=0)
    (tmp_path / "media").mkdir(mode=0o700)
    settings.UPDATE_WARN_DAYS = 30 * 365  # how old this tree is says nothing here; one test below sets it
    settings.SECRET_KEY, settings.BACKUP_KEYS, settings.BACKUP_WARN_DAYS = LONG, [AGE], 2
    settings.MEDIA_ROOT = str(tmp_path / "media")
    settings.EMAIL_BACKEND, settings.DEFAULT_FROM_EMAIL = "web.smtp.EmailBackend", "secretary@club.example"
    settings.PUBLIC_URL = "https://club.example"
    settings.SECOND_FACTOR_REQUIRED = True
    settings.VIRUS_SCANNER = "unix:///run/clamav/clamd.ctl"
    usage = namedtuple("usage", "total used free")
    monkeypatch.setattr(shutil, "disk_usage", lambda path: usage(10**12, 0, 5 * 10**9))
    monkeypatch.setattr(deploy_checks, "may_rewrite_ledgers", lambda: False)  # tests own their tables


def said() -> dict[str, str]:
    found = run_checks(include_deployment_checks=True)
    return {each.id: f"{each.msg} {each.hint}" for each in found if each.id.startswith("stubble.")}


def test_nothing_is_said_of_a_sound_installation() -> None:
    assert said() == {}


@pytest.mark.parametrize(
    ("name", "value", "number", "words"),
    [
        (
            "EMAIL_BACKEND",
            "django.core.mail.backends.console.EmailBackend",
            "W001",
            "No mail server is set up",
        ),
        ("DEFAULT_FROM_EMAIL", "club@example.org", "W002", "which is an example"),
        ("PUBLIC_URL", "http://club.example", "W003", "PUBLIC_URL is “http://club.example”"),
        ("PUBLIC_URL", "", "W003", "Set PUBLIC_URL"),
        ("BACKUP_KEYS", [], "W020", "No backup can be made"),
        ("SECRET_KEY", "club", "W031", "has 4 characters and can be guessed"),
        ("SECRET_KEY", "ab" * 40, "W031", "can be guessed"),
        ("SECOND_FACTOR_REQUIRED", False, "W004", "has the whole club"),
        ("STORAGES", {"default": S3}, "W038", "http://store.example unencrypted"),
        ("VIRUS_SCANNER", "", "W048", "No scanner looks at the PDFs"),
        ("TIME_ZONE", "UTC", "W036", "knows no summer time"),
        ("TIME_ZONE", "America/New_York", "W036", "run in “Europe/London”"),
    ],
)
def test_a_setting_that_is_unsafe_is_named(
    settings: Any, name: str, value: Any, number: str, words: str
) -> None:
    setattr(settings, name, value)
    found = said()
    assert found.keys() == {f"stubble.{number}"}
    assert words in found[f"stubble.{number}"]


@pytest.mark.parametrize("zone", ["Europe/Jersey", "Europe/Belfast"])
def test_another_name_for_the_same_hours_is_no_fault(settings: Any, zone: str) -> None:
    settings.TIME_ZONE = zone
    assert said() == {}


def test_debug_is_unsafe(settings: Any) -> None:
    settings.DEBUG = True
    assert "reads the program's memory" in said()["stubble.W030"]


def test_several_processes_need_one_cache(settings: Any) -> None:
    settings.CACHES = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}}
    settings.WEB_PROCESSES = 1
    assert said() == {}
    settings.WEB_PROCESSES = 3
    assert "3 processes serve the site" in said()["stubble.W033"]
    settings.CACHES = {
        "default": {"BACKEND": "django.core.cache.backends.db.DatabaseCache", "LOCATION": "cache"}
    }
    assert "stubble.W033" not in said()


def test_a_backup_of_yesterday_is_new_enough_unless_the_club_wants_one_a_day(settings: Any) -> None:
    assert "stubble.W021" not in said()
    settings.BACKUP_WARN_DAYS = 1
    assert "The last backup was made on" in said()["stubble.W021"]
    settings.BACKUP_WARN_DAYS = 0
    assert said() == {}


def test_photographs_that_others_may_read(settings: Any, tmp_path: Path) -> None:
    folder = tmp_path / "open" / "media"
    folder.mkdir(parents=True, mode=0o755)
    folder.parent.chmod(0o755)
    settings.MEDIA_ROOT = str(folder)
    assert f"Other users of the server may read {folder} (drwxr-xr-x)" in said()["stubble.W034"]
    folder.parent.chmod(0o700)  # nobody else comes as far
    assert said() == {}


def test_a_disk_that_is_nearly_full(monkeypatch: pytest.MonkeyPatch) -> None:
    usage = namedtuple("usage", "total used free")
    monkeypatch.setattr(shutil, "disk_usage", lambda path: usage(10**12, 0, 400_000_000))
    assert "has 400 MB left" in said()["stubble.W035"]


def test_nobody_looked_for_updates(settings: Any, tmp_path: Path) -> None:
    """The newer of two marks counts: fetching may bring nothing new."""
    settings.BASE_DIR, settings.UPDATE_WARN_DAYS, day = tmp_path, 30, 86400
    lock, fetched = tmp_path / "requirements.txt", tmp_path / ".git" / "FETCH_HEAD"
    fetched.parent.mkdir()
    for mark in (lock, fetched):
        mark.touch()
    os.utime(lock, (time.time() - 90 * day,) * 2)
    assert said() == {}
    os.utime(fetched, (time.time() - 40 * day,) * 2)
    assert "for 40 days" in said()["stubble.W049"]
    fetched.unlink()
    assert "for 90 days" in said()["stubble.W049"]
    settings.UPDATE_WARN_DAYS = 0
    assert said() == {}


MOUNTS = """/dev/sda1 / ext4 rw 0 0
nas:/club /srv/club\\040data nfs4 rw 0 0
/dev/sdb1 /srv/club\\040data/fast xfs rw 0 0
//nas/club /mnt/club cifs rw 0 0
"""


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/var/lib/stubble/club.sqlite3", "ext4"),
        ("/srv/club data/club.sqlite3", "nfs4"),
        ("/srv/club data/fast/club.sqlite3", "xfs"),
        ("/srv/club database/club.sqlite3", "ext4"),
        ("/mnt/club/x/club.sqlite3", "cifs"),
    ],
)
def test_the_disk_under_a_path_is_told_by_the_longest_mount_above_it(path: str, kind: str) -> None:
    assert disk_kind(Path(path), MOUNTS) == kind
    assert disk_kind(Path(path), "") == ""


def test_sqlite_on_a_network_disk(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(disk_checks, "sqlite_file", lambda: Path("/mnt/club/club.sqlite3"))
    monkeypatch.setattr(disk_checks, "MOUNTS", tmp_path / "mounts")
    (tmp_path / "mounts").write_text(MOUNTS)
    assert "lies on a network disk (cifs)" in said()["stubble.W032"]
    (tmp_path / "mounts").unlink()  # no Linux: nothing can be told
    assert "stubble.W032" not in said()
