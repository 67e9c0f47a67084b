"""The key, where backups go and how many stay, and what is tidied away when."""

import os
import stat
from datetime import timedelta
from io import StringIO
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.sessions.models import Session
from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage
from django.core.management import CommandError, call_command
from django.utils.timezone import now

from field.models import PhotoPart, PhotoUpload
from hunts.models import HolePhoto, IncidentPhoto, PhotoDraft
from keeping.actions import tidy_files, tidy_up
from keeping.checks import backups_can_be_made
from keeping.errors import KeepingError
from keeping.key import make_key, read_keys, read_recipients
from keeping.management.commands.backup import Command
from keeping.retention import KEEP_LINKS, KEEP_PARTS, RULES
from keeping.strays import stray_files
from people.models import AuditEntry, Letter
from permissions.models import LandholderLink, LinkCode
from reports.models import LandholderAnswer
from tests import make, make_field, make_letters

AT = now()
DAY = timedelta(1)


def test_a_key_is_for_its_owner_and_is_never_written_over(tmp_path: Path) -> None:
    public = make_key(tmp_path / "key.txt", at=AT)
    assert stat.S_IMODE((tmp_path / "key.txt").stat().st_mode) == 0o600
    assert [str(key.to_public()) for key in read_keys(tmp_path / "key.txt")] == [public]
    out = StringIO()
    with pytest.raises(CommandError, match="there already"):
        call_command("backup_key", tmp_path / "key.txt", stdout=out)
    call_command("backup_key", tmp_path / "other.txt", stdout=out)
    secret = (tmp_path / "other.txt").read_text().split()[-1]
    assert "BACKUP_KEYS=age1" in out.getvalue()
    assert secret not in out.getvalue()


def test_a_secret_key_is_not_taken_for_an_open_one_and_not_repeated(tmp_path: Path) -> None:
    make_key(tmp_path / "key.txt", at=AT)
    secret = (tmp_path / "key.txt").read_text().split()[-1]
    with pytest.raises(KeepingError, match="secret key") as caught:
        read_recipients([secret])
    assert secret not in str(caught.value)
    with pytest.raises(KeepingError, match="“age1nonsense” is no open key"):
        read_recipients(["age1nonsense"])
    with pytest.raises(KeepingError, match="No key to seal the backup with"):
        read_recipients([])


@pytest.mark.parametrize(
    ("content", "words"),
    [("", "holds no secret key"), ("AGE-SECRET-KEY-1QQQ", "damaged"), ("ümlaut", "cannot be read")],
)
def test_a_file_that_is_no_key_is_named(tmp_path: Path, content: str, words: str) -> None:
    (tmp_path / "key.txt").write_text(content, encoding="utf-8")
    with pytest.raises(KeepingError, match=words):
        read_keys(tmp_path / "key.txt")


@pytest.mark.parametrize("keys", [[], ["age1nonsense"]])
def test_a_club_that_can_make_no_backup_is_told_so(settings: Any, keys: list[str], tmp_path: Path) -> None:
    settings.BACKUP_KEYS = keys
    assert [message.id for message in backups_can_be_made(None)] == ["stubble.W020"]
    settings.BACKUP_KEYS = [make_key(tmp_path / "key.txt", at=AT)]
    assert backups_can_be_made(None) == []


def test_the_newest_backups_stay_and_other_files_do(tmp_path: Path) -> None:
    for day in range(1, 6):
        (tmp_path / f"club-2026-03-0{day}T120000Z.backup.age").touch()
    (tmp_path / "photo.jpg").touch()
    for name, age in (("club-1.backup.age.part", 2 * DAY), ("club-2.backup.age.part", DAY / 2)):
        (tmp_path / name).touch()
        os.utime(tmp_path / name, times=((AT - age).timestamp(),) * 2)
    Command(stdout=StringIO())._forget(tmp_path, 2, AT)
    assert sorted(path.name[:15] for path in tmp_path.iterdir()) == [
        "club-2.backup.a",
        "club-2026-03-04",
        "club-2026-03-05",
        "photo.jpg",
    ]
    with pytest.raises(CommandError, match="--keep is 1"):
        call_command("backup", tmp_path, keep=1)


def link(by: Any, closed: timedelta) -> LandholderLink:
    return LandholderLink.objects.create(
        landholder=make.landholder(), made_at=AT - 900 * DAY, made_by=by, expires_at=AT - closed
    )


@pytest.fixture
def overdue(db: None, member: Any, secretary: Any) -> dict[str, Any]:
    """Of every kind one row whose time is over and one whose time is not."""
    make.club()
    for number, expires in enumerate((AT - DAY, AT + DAY)):
        Session.objects.create(session_key=f"k{number}", session_data="", expire_date=expires)
        make.photo_draft(member, expires_at=expires)
    old, fresh, answered = (
        link(secretary, age) for age in (KEEP_LINKS + DAY, KEEP_LINKS - DAY, KEEP_LINKS + DAY)
    )
    LinkCode.objects.create(
        link=old, digest="0" * 64, address_sha256="0" * 64, made_at=AT, expires_at=AT - 2 * DAY
    )
    LandholderAnswer.objects.create(landholder=answered.landholder, link=answered, what="concern", at=AT)
    for age in (KEEP_PARTS + DAY, KEEP_PARTS - DAY):
        row = make_field.upload(member, uuid4(), b"abc", received=2)
        PhotoUpload.objects.filter(pk=row.pk).update(begun_at=AT - age)
        PhotoPart.objects.create(upload=row, starts=0, data=b"ab")
    over = make_letters.waiting()
    Letter.objects.filter(pk=over.pk).update(made_at=AT - 2 * DAY, expires_at=AT - DAY)
    make_letters.waiting()
    return {"old": old, "fresh": fresh, "answered": answered}


def test_tidying_takes_what_is_over_and_nothing_else(overdue: dict[str, Any]) -> None:
    counts = tidy_up(via="test", at=AT)
    assert {key for key, count in counts.items() if count} == {
        "sessions", "photos", "parts", "landholder_links", "letters",
    }  # fmt: skip
    assert set(counts.values()) == {0, 1}
    assert (Session.objects.count(), PhotoDraft.objects.count(), LinkCode.objects.count()) == (1, 1, 0)
    assert set(LandholderLink.objects.all()) == {overdue["fresh"], overdue["answered"]}
    assert [(row.received, row.parts.count()) for row in PhotoUpload.objects.order_by("pk")] == [
        (0, 0),
        (2, 1),
    ]
    assert Letter.objects.waiting().count() == 1
    trail = AuditEntry.objects.get(verb="club.tidy")
    assert (trail.via, trail.changes["parts"]) == ("test", 1)
    assert not any(tidy_up(via="test", at=AT).values())
    assert AuditEntry.objects.filter(verb="club.tidy").count() == 1


def test_a_look_changes_nothing(overdue: dict[str, Any]) -> None:
    out = StringIO()
    call_command("tidy", dry_run=True, stdout=out)
    assert "Nothing was changed" in out.getvalue()
    assert "1 parts of photographs that never came whole" in out.getvalue()
    assert {rule.key: rule.rows(AT).count() for rule in RULES}["sessions"] == 1
    assert not AuditEntry.objects.filter(verb="club.tidy").exists()


def stored(storage: FileSystemStorage, name: str, *, age: timedelta) -> str:
    storage.save(name, ContentFile(b"\xff\xd8\xff\xd9"))
    when = (AT - age).timestamp()
    os.utime(storage.path(name), (when, when))
    return name


@pytest.fixture
def store(db: None, tmp_path: Path) -> FileSystemStorage:
    """Photographs of a hole and an incident, one old file without a record, and one that is being saved just now."""
    make.club()
    storage = FileSystemStorage(tmp_path / "store")
    hole = make.hole(make.hunt(), make.person())
    for photo in (make.hole_photo(hole), make.incident_photo(make.incident(hole.hunt, hole.digger))):
        for file in (photo.display, photo.thumb):
            stored(storage, file.name, age=9 * DAY)
    stored(storage, "hole/ab/left.jpg", age=2 * DAY)
    stored(storage, "hole/cd/new.jpg", age=timedelta(hours=1))
    return storage


def test_a_file_that_no_record_names_goes_after_a_day(store: FileSystemStorage) -> None:
    assert stray_files(AT, store) == ["hole/ab/left.jpg"]
    assert tidy_files(via="test", at=AT, storage=store) == 1
    assert store.listdir("hole/ab")[1] == []
    assert store.exists("hole/cd/new.jpg")
    assert AuditEntry.objects.get(verb="club.tidy").changes == {"files": 1}
    assert tidy_files(via="test", at=AT, storage=store) == 0
    for kept in (HolePhoto.objects.get(), IncidentPhoto.objects.get()):
        assert store.exists(kept.display.name)


def test_the_store_of_another_club_is_left_alone(store: FileSystemStorage) -> None:
    """DATABASE_URL and MEDIA_ROOT that do not belong together would make every photograph a stray."""
    HolePhoto.objects.all().delete()
    IncidentPhoto.objects.all().delete()
    with pytest.raises(KeepingError, match="5 of 5 files are named by no record"):
        tidy_files(via="test", at=AT, storage=store)
    assert store.exists("hole/ab/left.jpg")


def test_a_store_that_never_held_anything_has_no_strays(db: None, tmp_path: Path) -> None:
    assert stray_files(AT, FileSystemStorage(tmp_path / "nowhere")) == []
