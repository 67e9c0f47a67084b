"""Photographs and papers in an object store: every way in and out works there, and nothing of it is public.

Held against moto's S3 server, an implementation of the same interface by other people, over HTTP.
"""

import zipfile
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from io import StringIO
from pathlib import Path
from typing import Any

import boto3
import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage, storages
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.db.backends.base.base import BaseDatabaseWrapper
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now

from hunts.models import HolePhoto
from keeping import kinds, restore
from keeping.backup import back_up
from keeping.intake import Intake
from keeping.key import make_key, read_keys, read_recipients
from keeping.snapshot import scratch
from keeping.strays import stray_files
from people.models import User
from tests import make, make_field
from tests.views.test_field_photos import begin, part

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.once,
]  # the store is asked, and the database says nothing of it
AT = datetime(2026, 3, 1, 12, tzinfo=UTC)
BUCKET = "club-photographs"


@pytest.fixture(scope="module")
def server() -> Iterator[str]:
    from moto.server import ThreadedMotoServer

    running = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    running.start()
    host, port = running.get_host_and_port()
    yield f"http://{host}:{port}"
    running.stop()


@pytest.fixture
def bucket(server: str, settings: Any) -> Any:
    """An empty bucket, in which this installation keeps its files; the bucket as boto3 sees it."""
    options = {
        "bucket_name": BUCKET,
        "endpoint_url": server,
        "region_name": "us-east-1",
        "access_key": "a-key",
        "secret_key": "a-secret",
    }
    settings.STORAGES = {
        **settings.STORAGES,
        "default": {"BACKEND": "web.object_storage.PrivateObjects", "OPTIONS": options},
    }
    there = boto3.resource(
        "s3", endpoint_url=server, region_name="us-east-1", aws_access_key_id="x", aws_secret_access_key="x"
    ).Bucket(BUCKET)
    there.create()
    yield there
    there.objects.all().delete()
    there.delete()


def names(bucket: Any) -> list[str]:
    return sorted(each.key for each in bucket.objects.all())


@pytest.fixture
def photo(bucket: Any, client_of: Any, member: User) -> HolePhoto:
    """Sent with the form, as members do."""
    make.club()
    hole = make.hole(make_field.running(None, member), member)
    sent = SimpleUploadedFile("after.jpg", make.photo_bytes())
    client_of(member).post(
        reverse("hunts:hole_photo_add", args=[hole.pk]), {"photos": sent, "stage": "after"}
    )
    return HolePhoto.objects.get()


def test_a_photograph_comes_in_and_goes_out_through_its_view_alone(
    photo: HolePhoto, bucket: Any, client_of: Any, member: User, stranger: User
) -> None:
    assert names(bucket) == sorted([photo.display.name, photo.thumb.name])
    url = reverse("hunts:hole_photo", args=[photo.pk, "full"])
    answer = client_of(member).get(url)
    data = b"".join(answer.streaming_content)
    assert (answer.status_code, data[:2], answer["Cache-Control"]) == (200, b"\xff\xd8", "private, no-store")
    assert int(answer["Content-Length"]) == len(data) == bucket.Object(photo.display.name).content_length
    assert client_of(stranger).get(url).status_code == 404
    assert Client().get(url).status_code == 302
    with pytest.raises(NotImplementedError, match="no address"):
        photo.display.url  # noqa: B018
    grants = bucket.Object(photo.display.name).Acl().grants
    assert {grant["Grantee"]["Type"] for grant in grants} == {
        "CanonicalUser"
    }  # its owner; S3's own word for one account


def test_a_photograph_that_is_gone_is_not_found(
    photo: HolePhoto, bucket: Any, client_of: Any, member: User
) -> None:
    default_storage.delete(photo.display.name)
    assert names(bucket) == [photo.thumb.name]
    assert client_of(member).get(reverse("hunts:hole_photo", args=[photo.pk, "full"])).status_code == 404


def test_a_photograph_from_a_phone_arrives_in_parts(bucket: Any, client_of: Any, member: User) -> None:
    make.club()
    hole, data = make.hole(make_field.running(None, member), member), make.photo_bytes()
    client = client_of(member)
    key, _ = begin(client, member, str(hole.client_id), data)
    part(client, key, data[:300], 0)
    assert names(bucket) == []
    assert part(client, key, data[300:], 300).json()["state"] == "stored"
    assert names(bucket) == sorted([HolePhoto.objects.get().display.name, HolePhoto.objects.get().thumb.name])


def test_a_name_that_is_taken_is_never_written_over(bucket: Any) -> None:
    first = default_storage.save("photos/one.jpg", ContentFile(b"first"))
    second = default_storage.save("photos/one.jpg", ContentFile(b"second"))
    assert (first, second != first) == ("photos/one.jpg", True)
    with default_storage.open(first) as file:
        assert file.read() == b"first"


def test_files_that_no_record_names_are_found_in_the_store_once_they_are_old(
    photo: HolePhoto, bucket: Any
) -> None:
    stray = default_storage.save("photos/3f/stray.jpg", ContentFile(b"x"))
    assert stray_files(now()) == []
    assert stray_files(now() + timedelta(days=2)) == [stray]


@pytest.fixture
def other_databases(transactional_db: None, django_db_blocker: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(BaseDatabaseWrapper, "ensure_connection", django_db_blocker._real_ensure_connection)


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("other_databases")
def test_it_is_backed_up_and_brought_back_into_a_store_and_exported(
    photo: HolePhoto, bucket: Any, tmp_path: Path
) -> None:
    public = make_key(tmp_path / "key.txt", at=AT)
    manifest = back_up(tmp_path / "club.age", read_recipients([public]), at=AT)
    assert (sorted(manifest["files"]), manifest["missing"]) == (names(bucket), {})
    tables, before = kinds.kinds(), names(bucket)
    elsewhere = storages.create_storage(
        {
            "BACKEND": "web.object_storage.PrivateObjects",
            "OPTIONS": storages.backends["default"]["OPTIONS"] | {"location": "restored"},
        }
    )
    with scratch(tmp_path, tables) as alias:
        keys = read_keys(tmp_path / "key.txt")
        proof = restore.bring(tmp_path / "club.age", keys, lambda schema: Intake(alias, tables, elsewhere))
    assert proof.files == 2
    assert names(bucket) == sorted([*before, *(f"restored/{name}" for name in before)])
    call_command("export_club", tmp_path / "club.zip", stdout=StringIO())
    with zipfile.ZipFile(tmp_path / "club.zip") as archive:
        kept = {name.removeprefix("files/") for name in archive.namelist() if name.startswith("files/")}
    assert kept == set(before)


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("other_databases")
def test_a_store_that_refuses_is_told_in_words_and_to_the_proxy(
    photo: HolePhoto, bucket: Any, settings: Any, tmp_path: Path
) -> None:
    options = settings.STORAGES["default"]["OPTIONS"] | {"bucket_name": "another-clubs"}
    settings.STORAGES = {**settings.STORAGES, "default": settings.STORAGES["default"] | {"OPTIONS": options}}
    settings.BACKUP_KEYS = [make_key(tmp_path / "key.txt", at=AT)]
    assert Client().get("/health/ready/").status_code == 503
    with pytest.raises(OSError, match=r"The object store refused PutObject: NoSuchBucket"):
        default_storage.save("photos/x.jpg", ContentFile(b"x"))
    with pytest.raises(CommandError, match=r"made, but 2 of the files"):
        call_command("backup", tmp_path / "club.age", stdout=StringIO())


def test_a_store_that_does_not_answer_is_told_in_words(bucket: Any, settings: Any) -> None:
    default = settings.STORAGES["default"]
    options = default["OPTIONS"] | {"endpoint_url": "http://127.0.0.1:9"}  # the discard port: nobody listens
    settings.STORAGES = {**settings.STORAGES, "default": default | {"OPTIONS": options}}
    with pytest.raises(OSError, match=r"The object store does not answer: EndpointConnectionError"):
        default_storage.exists("photos/x.jpg")
