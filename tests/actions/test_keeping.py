"""Backup, wipe, restore, compare; export, new installation, compare: with photographs, on the database of the run."""

import json
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core import serializers
from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage, default_storage
from django.core.management import CommandError, call_command
from django.core.management.color import no_style
from django.db import DatabaseError, InternalError, connection, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.test import override_settings

from finds.models import Find
from hunts.models import Hole
from keeping import backup, kinds, restore, sealed
from keeping.backup import back_up
from keeping.bring_in import bring_in
from keeping.errors import KeepingError
from keeping.export import export
from keeping.intake import Intake
from keeping.key import make_key, read_keys, read_recipients
from keeping.snapshot import scratch
from keeping.tables import digest_of
from people.kept import last_kept
from people.models import AuditEntry, Contact, Letter, User
from tests import make, make_field, make_settlement
from tests.views import world

pytestmark = pytest.mark.django_db(transaction=True)

AT = datetime(2026, 3, 1, 12, tzinfo=UTC)
LONG_AGO = datetime(2019, 10, 27, 1, 30, 0, 123456, tzinfo=UTC)
# A formula, quotes, line ends of both kinds, an apostrophe of its own, letters beyond ASCII.
NASTY = '=1+1;"-2"\r\n@x\n\'=y, Ærø 👣'
DOCUMENT = {"b": [1e22, -0.5, "-5", None, {"=x": 0.1}], "a": '";=1+1', "c": 3.0}


@dataclass
class Kept:
    """A club's backup and export, the key, and what its tables and files were: by our hashes and by Django's own
    serializer, which knows nothing of them."""

    backup: Path
    export: Path
    key: Path
    tables: dict[str, Any]
    rows: dict[str, str]
    files: dict[str, bytes]
    gone: int
    """The number of a contact that was deleted before, the last one given."""


def awkward(by: User) -> int:
    """Rows whose values are easily lost on the way; the number of one that was taken away again."""
    User.objects.filter(pk=by.pk).update(joined_at=LONG_AGO)
    hunt = make_field.running(None, by)
    find = make.find(hunt, by, description=NASTY)
    make.find_photo(find, display=ContentFile(make.photo_bytes("#123456"), name="Ærø field.jpg"))
    picture = ContentFile(make.photo_bytes("#654321"), name="gap.jpg")
    make.incident_photo(make.incident(hunt, by, words=NASTY), display=picture, caption=NASTY)
    make_settlement.valuation(find, "1234.50", by=by)
    make.photo_draft(by, display=bytes(range(256)))
    make_field.parked(by, hunt, sent=DOCUMENT)
    Letter.objects.create(kind="club", to="x@y.example", subject="'=x", text="", message_id="<1@y>")
    gone = Contact.objects.create(kind="coroner", name="Entered by mistake")
    gone_pk = gone.pk
    gone.delete()
    return int(gone_pk)


def rows_now() -> dict[str, str]:
    return {
        label: serializers.serialize("jsonl", kind.rows("default")) for label, kind in kinds.kinds().items()
    }


def tables_now() -> dict[str, Any]:
    """Count and hash of every table as it stands: what two installations are compared by."""
    return {label: digest_of(kind, "default") for label, kind in kinds.kinds().items()}


def files_now() -> dict[str, bytes]:
    root = Path(default_storage.location)
    return {str(path.relative_to(root)): path.read_bytes() for path in root.rglob("*") if path.is_file()}


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory, django_db_setup: None, django_db_blocker: Any) -> Kept:
    """Made once; the database is empty again when the first test begins."""
    folder = tmp_path_factory.mktemp("kept")
    with django_db_blocker.unblock(), override_settings(MEDIA_ROOT=folder / "media"):
        made = world.build()
        gone = awkward(made.secretary)
        public = make_key(folder / "key.txt", at=AT)
        back_up(folder / "club.age", read_recipients([public]), at=AT)
        export(folder / "club.zip", at=AT)
        result = Kept(
            folder / "club.age",
            folder / "club.zip",
            folder / "key.txt",
            tables_now(),
            rows_now(),
            files_now(),
            gone,
        )
        call_command("flush", verbosity=0, interactive=False)
    return result


@pytest.fixture(autouse=True)
def empty_place(
    transactional_db: None,
    tmp_path: Path,
    settings: Any,
    django_db_blocker: Any,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """An empty folder, and leave to open databases that were not there when the run began."""
    settings.MEDIA_ROOT = tmp_path / "media"
    monkeypatch.setattr(BaseDatabaseWrapper, "ensure_connection", django_db_blocker._real_ensure_connection)


def is_as_before(kept: Kept) -> None:
    assert tables_now() == kept.tables
    assert rows_now() == kept.rows
    assert files_now() == kept.files
    assert len(kept.files) >= 8
    assert sum(each["rows"] > 0 for each in kept.tables.values()) > 40


def test_a_backup_brought_back_is_the_club_as_it_was(kept: Kept) -> None:
    proof = restore.restore(kept.backup, read_keys(kept.key))
    is_as_before(kept)
    assert (proof.rows, proof.files) == (sum(t["rows"] for t in kept.tables.values()), len(kept.files))
    assert Find.objects.get(description__startswith="=1+1").description == NASTY
    assert User.objects.filter(joined_at=LONG_AGO).count() == 1
    # The ledgers are guarded, numbers go on behind the last one, and nothing more comes in.
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        AuditEntry._base_manager.filter(pk=AuditEntry.objects.latest("pk").pk)._raw_delete("default")
    assert make.person().pk > max(row["pk"] for row in map(json.loads, kept.rows["people.user"].splitlines()))
    with pytest.raises(KeepingError, match="in use"):
        restore.restore(kept.backup, read_keys(kept.key))
    with pytest.raises(KeepingError, match="in use"):
        bring_in(kept.export)


def number_anew() -> None:
    """A new installation counts from one; a test's database goes on from the last test."""
    tables = [{"table": "people_contact", "column": "id"}]
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_by_name_sql(no_style(), tables):
            cursor.execute(statement)


def test_a_number_that_was_given_is_not_given_again(kept: Kept) -> None:
    """Neither after a backup nor after an export, though the row that had it was deleted before."""
    number_anew()
    restore.restore(kept.backup, read_keys(kept.key))
    assert Contact.objects.create(kind="coroner", name="New").pk == kept.gone + 1


def test_an_export_taken_in_elsewhere_is_the_club_as_it_was(kept: Kept) -> None:
    number_anew()
    proof = bring_in(kept.export)
    is_as_before(kept)
    assert Contact.objects.create(kind="coroner", name="New").pk == kept.gone + 1
    assert proof.rows == sum(t["rows"] for t in kept.tables.values())


def test_a_backup_goes_from_one_kind_of_database_to_the_other_and_back(kept: Kept, tmp_path: Path) -> None:
    """The drill's scratch database is SQLite: on PostgreSQL this is there and back."""
    tables, storage = kinds.kinds(), FileSystemStorage(tmp_path / "scratch-files")
    with scratch(tmp_path, tables) as alias:
        restore.bring(kept.backup, read_keys(kept.key), lambda schema: Intake(alias, tables, storage))
        again = read_recipients([str(key.to_public()) for key in read_keys(kept.key)])
        back_up(tmp_path / "second.age", again, at=AT, source=alias, storage=storage)
    restore.restore(tmp_path / "second.age", read_keys(kept.key))
    is_as_before(kept)


def test_the_drill_says_what_was_proved_and_touches_nothing(kept: Kept) -> None:
    out = StringIO()
    call_command("backup_check", kept.backup, key=kept.key, stdout=out)
    rows = sum(table["rows"] for table in kept.tables.values())
    assert (
        f"Proved: {rows:,} rows of {len(kept.tables)} tables and {len(kept.files)} photographs"
        in out.getvalue()
    )
    assert User.objects.count() == 0
    assert files_now() == {}
    with pytest.raises(CommandError, match="is proved, but there is no club here"):
        call_command("backup_check", kept.backup, key=kept.key, note=True, stdout=out)


def test_the_clubs_own_server_notes_what_it_proved_and_a_replica_says_that_it_cannot(
    kept: Kept, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    make.club()
    call_command("backup_check", kept.backup, key=kept.key, note=True, stdout=StringIO())
    assert last_kept().proved_of == AT.date()
    public, said = [str(key.to_public()) for key in read_keys(kept.key)], StringIO()

    def takes_no_writes(*args: Any, **kwargs: Any) -> None:
        raise InternalError("cannot execute INSERT in a read-only transaction")

    monkeypatch.setattr(AuditEntry, "save", takes_no_writes)
    call_command("backup", tmp_path / "of.age", recipients=public, stdout=StringIO(), stderr=said)
    assert "audit trail could not be told of it: cannot execute INSERT" in said.getvalue()
    assert (tmp_path / "of.age").exists()


def refused(kept: Kept, path: Path, key: Path | None = None) -> str:
    with pytest.raises(CommandError) as caught:
        call_command("backup_check", path, key=key or kept.key)
    assert "NOT PROVED" in str(caught.value)
    return str(caught.value)


def test_another_key_opens_nothing(kept: Kept, tmp_path: Path) -> None:
    make_key(tmp_path / "other.txt", at=AT)
    assert "This key does not open club.age" in refused(kept, kept.backup, tmp_path / "other.txt")
    with pytest.raises(CommandError, match="Nothing was brought back"):
        call_command("restore", kept.backup, key=tmp_path / "other.txt")


@pytest.mark.parametrize("share", [0.001, 0.5, 0.999])
def test_a_cut_off_backup_is_noticed_and_leaves_nothing(kept: Kept, tmp_path: Path, share: float) -> None:
    data = kept.backup.read_bytes()
    cut = tmp_path / "cut.age"
    cut.write_bytes(data[: int(len(data) * share)])
    assert "cut off or changed" in refused(kept, cut) or share < 0.01
    with pytest.raises(KeepingError):
        restore.restore(cut, read_keys(kept.key))
    assert User.objects.count() == 0
    assert files_now() == {}


@pytest.mark.once  # the drill proves a backup in a SQLite of its own, whatever the club's database is
@pytest.mark.parametrize("share", [0.0005, 0.4, 0.9999])
def test_one_changed_byte_is_noticed(kept: Kept, tmp_path: Path, share: float) -> None:
    data = bytearray(kept.backup.read_bytes())
    data[int(len(data) * share)] ^= 1
    (tmp_path / "changed.age").write_bytes(data)
    refused(kept, tmp_path / "changed.age")


def resealed(kept: Kept, path: Path, change: Any) -> Path:
    """A backup whose seal is good and whose content is not: `change` gives a member's bytes, or None without it."""
    members = []
    with sealed.opened(kept.backup, read_keys(kept.key)) as tar:
        for info in tar:
            if (data := change(info.name, sealed.read_all(tar, info).read())) is not None:
                members.append(sealed.Member(info.name, len(data), [data]))
    public = [key.to_public() for key in read_keys(kept.key)]
    sealed.seal(path, public, members)
    return path


def without_photo(name: str, data: bytes) -> bytes | None:
    return None if name.endswith(".jpg") and "field" in name else data


def with_other_photo(name: str, data: bytes) -> bytes | None:
    return data[:-9] + b"x" * 9 if name.endswith(".jpg") and "field" in name else data


def without_a_trace(name: str, data: bytes) -> bytes | None:
    """The photograph and every word of it, but for the row."""
    if name == "manifest.json":
        manifest = json.loads(data)
        gone = {key: facts for key, facts in manifest["files"].items() if "field" not in key}
        return json.dumps(manifest | {"files": gone}).encode()
    return without_photo(name, data)


def without_rows(name: str, data: bytes) -> bytes | None:
    return None if name.startswith("rows/finds.findphoto") else data


def from_the_future(name: str, data: bytes) -> bytes | None:
    if name != "head.json":
        return data
    head = json.loads(data)
    return json.dumps(head | {"schema": [*head["schema"], "people.9999_flying"]}).encode()


def of_other_rows(name: str, data: bytes) -> bytes | None:
    if name != "manifest.json":
        return data
    manifest = json.loads(data)
    manifest["tables"]["hunts.hole"]["rows"] += 1
    return json.dumps(manifest).encode()


def of_other_words(name: str, data: bytes) -> bytes | None:
    if name != "manifest.json":
        return data
    manifest = json.loads(data)
    manifest["tables"]["hunts.hole"]["sha256"] = "0" * 64
    return json.dumps(manifest).encode()


def without_end(name: str, data: bytes) -> bytes | None:
    return None if name == "manifest.json" else data


@pytest.mark.once  # the same
@pytest.mark.parametrize(
    ("change", "words"),
    [
        (without_photo, "field.jpg, which the manifest names, is not in the backup"),
        (with_other_photo, "field.jpg, which finds.findphoto"),
        (without_a_trace, "is not there"),
        (without_rows, "rows/finds.findphoto/000001.jsonl.gz in the backup is not what its manifest says"),
        (from_the_future, "newer version of this program (it has people.9999_flying"),
        (of_other_rows, "hunts.hole has"),
        (of_other_words, "rows of hunts.hole do not say what they said"),
        (without_end, "never finished"),
    ],
)
def test_content_that_does_not_agree_with_itself_is_refused(
    kept: Kept, tmp_path: Path, change: Any, words: str
) -> None:
    assert words in refused(kept, resealed(kept, tmp_path / "other.age", change))


def test_a_photograph_that_is_gone_is_told_when_the_backup_is_made_and_when_it_is_proved(
    kept: Kept, tmp_path: Path
) -> None:
    make.club()
    member = make.person()
    photo = make.hole_photo(make.hole(make_field.running(None, member), member))
    default_storage.delete(photo.display.name)
    public = [str(key.to_public()) for key in read_keys(kept.key)]
    with pytest.raises(CommandError, match=f"was made, but 1 .* could not be found: {photo.display.name}"):
        call_command("backup", tmp_path / "gap.age", recipients=public, stdout=StringIO())
    assert f"hunts.holephoto {photo.pk}" in refused(kept, tmp_path / "gap.age")
    assert AuditEntry.objects.filter(verb="club.backup").count() == 1


def test_nothing_half_written_is_left_when_a_backup_fails(
    kept: Kept, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    make.club()

    def full(*args: Any) -> Iterator[bytes]:
        yield b"x"
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(backup, "_in_parts", full)
    public = [str(key.to_public()) for key in read_keys(kept.key)]
    with pytest.raises(CommandError, match=r"No backup was made.*No space left"):
        call_command("backup", tmp_path / "full.age", recipients=public, stdout=StringIO())
    assert list(tmp_path.glob("full*")) == []


def test_an_export_is_open_to_other_programs(kept: Kept) -> None:
    """RFC 4180, RFC 7946 and CSV on the Web: read here with nothing of ours."""
    with zipfile.ZipFile(kept.export) as archive:
        described = json.loads(archive.read("csv-metadata.json"))
        names = set(archive.namelist())
        assert {table["url"] for table in described["tables"]} <= names
        assert described["@context"][0] == "http://www.w3.org/ns/csvw"
        holes = json.loads(archive.read("places/hunts.hole.geojson"))
        head = archive.read("tables/hunts.hole.csv").decode("utf-8-sig").splitlines()[0]
    table = next(each for each in described["tables"] if each["url"] == "tables/hunts.hole.csv")
    columns = table["tableSchema"]["columns"]
    assert head.replace('"', "").split(",") == [column["name"] for column in columns]
    assert {"datatype": "double", "required": False}.items() <= next(
        c for c in columns if c["name"] == "lon"
    ).items()
    assert holes["type"] == "FeatureCollection"
    points = [row["fields"] for row in map(json.loads, kept.rows["hunts.hole"].splitlines())]
    assert [f["geometry"]["coordinates"] for f in holes["features"]] == [
        [row["lon"], row["lat"]] for row in points if row["lon"] is not None
    ]
    assert Hole.objects.count() == 0


@pytest.mark.parametrize(
    "name", ["tables/finds.find.csv", "places/permissions.site", "manifest.json", "files/"]
)
def test_a_changed_export_is_not_taken_in(kept: Kept, tmp_path: Path, name: str) -> None:
    with zipfile.ZipFile(kept.export) as old, zipfile.ZipFile(tmp_path / "changed.zip", "w") as new:
        changed = next(each for each in old.namelist() if each.startswith(name))
        for each in old.namelist():
            new.writestr(each, old.read(each).replace(b"1", b"2") if each == changed else old.read(each))
    with pytest.raises(CommandError, match="Nothing was taken in"):
        call_command("import_club", tmp_path / "changed.zip")
    assert User.objects.count() == 0
    assert files_now() == {}
