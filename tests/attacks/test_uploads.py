"""Files that are two things at once, lie about themselves, or tell where they were taken.

Sources: OWASP WSTG 4.2, WSTG-BUSL-08 and -09 (unexpected and malicious file types); OWASP ASVS 5.0.0, V5.2, V5.3 and
V5.4; RFC 6266, 4.3 (file names in headers).
"""

import hashlib
import io
import zipfile
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.conf import settings
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from field.account import account_of
from field.models import PhotoUpload
from finds.models import FindPhoto
from permissions.evidence import EvidenceError, take_evidence
from tests.attacks.ground import Ground
from tests.unit.web.pictures import Upload, encoded, exif, png_header, quartered

SCRIPT = b"<script>alert(document.domain)</script>"
PICTURE = encoded(quartered())
SVG = b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)">' + SCRIPT + b"</svg>"


def packed() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("index.html", SCRIPT)
    return out.getvalue()


def text_in_png() -> bytes:
    told = PngInfo()
    told.add_text("Comment", SCRIPT.decode())
    return encoded(quartered(), "PNG", pnginfo=told)


HIDDEN = {
    "a JPEG with a web page behind it": PICTURE + SCRIPT,
    "a JPEG with a web page as its comment": encoded(quartered(), comment=SCRIPT),
    "a JPEG with a web page in its EXIF": encoded(quartered(), exif=exif()[:-1] + SCRIPT),
    "a PNG with a zip behind it": encoded(quartered(), "PNG") + packed(),
    "a PNG with a web page in a text chunk": text_in_png(),
    "a WEBP with a web page behind it": encoded(quartered(), "WEBP") + SCRIPT,
    "a JPEG with a program behind it": PICTURE + b"<?php system($_GET['c']); ?>" + SCRIPT,
    "a JPEG that tells its place": encoded(quartered(), exif=exif()),
}
NO_PICTURE = {
    "a GIF that is JavaScript": b"GIF89a/*" + b"\0" * 8 + b"*/=1;alert(1)" + SCRIPT,
    "an SVG with a script": SVG,
    "an SVG with an entity": b'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>' + SVG,
    "a web page named as a photograph": b"<!DOCTYPE html>" + SCRIPT,
    "a PDF named as a photograph": b"%PDF-1.7\n1 0 obj<</S/JavaScript/JS(app.alert(1))>>",
    "PostScript that runs a program": b"%!PS\n(%pipe%id) (r) file",
    "a picture of 50,000 by 50,000": png_header(50_000, 50_000),
    "a picture of nothing by nothing": png_header(0, 0),
    "a plain bomb": encoded(Image.new("1", (9000, 9000)), "PNG"),
    "the first bytes of a JPEG": b"\xff\xd8\xff\xe0" + SCRIPT,
    "a zip": packed(),
    "nothing": b"",
}
TELL_TALE = (SCRIPT, b"PK\x03\x04", b"<?php", b"Exif", b"secret-maker", b"alert(", b"GPS")


def send(ground: Ground, data: bytes, name: str = "find.jpg", kind: str = "image/jpeg") -> Any:
    """Send a photograph of the member's own find; what became of it."""
    url = reverse("finds:photo_add", args=[ground.world.find.pk])
    file = SimpleUploadedFile(name, data, content_type=kind)
    return ground.client("member").post(url, {"photos": file, "view": "face"}, follow=True)


def new_photo(ground: Ground) -> FindPhoto | None:
    """The photograph that was added since all was made, if any."""
    last = max(ground.world.photo.pk, ground.world.locked_photo.pk)
    return FindPhoto.objects.filter(find=ground.world.find, pk__gt=last).order_by("pk").last()


def kept_of(photo: FindPhoto) -> list[bytes]:
    found = []
    for file in (photo.display, photo.thumb):
        with default_storage.open(file.name) as stored:
            found.append(stored.read())
    return found


def hidden_part_is_gone(data: bytes, ground: Ground) -> None:
    """What is kept is a picture and nothing else."""
    send(ground, data)
    photo = new_photo(ground)
    assert photo is not None
    for kept in kept_of(photo):
        assert [tell for tell in TELL_TALE if tell in kept] == []
        assert kept.startswith(b"\xff\xd8")
        assert kept.endswith(b"\xff\xd9")


@pytest.mark.parametrize("data", HIDDEN.values(), ids=HIDDEN)
def test_what_hides_in_a_photograph_does_not_stay(data: bytes, ground: Ground) -> None:
    hidden_part_is_gone(data, ground)


@pytest.mark.parametrize("data", NO_PICTURE.values(), ids=NO_PICTURE)
def test_what_is_no_photograph_is_not_kept(data: bytes, ground: Ground) -> None:
    answer = send(ground, data)
    assert answer.status_code == 200
    assert new_photo(ground) is None
    assert "find.jpg" in answer.text
    assert SCRIPT.decode() not in answer.text


@pytest.mark.parametrize("data", NO_PICTURE.values(), ids=NO_PICTURE)
def test_the_same_in_parts_from_a_phone_is_parked(data: bytes, ground: Ground) -> None:
    """The door of the field page asks as much as that of the find's page."""
    client, hole = ground.client("member"), ground.world.hole
    before = hole.photos.count()
    about = {
        "account": account_of(ground.world.member), "client_id": str(uuid4()), "of": "hole", "shows": "after",
        "owner": str(hole.client_id), "size": len(data), "sha256": hashlib.sha256(data).hexdigest(),
        "name": "../../<b>.jpg",
    }  # fmt: skip
    begun = client.post("/field/photos/", about, content_type="application/json")
    if not data:
        assert begun.status_code == 400
        return
    client.patch(
        f"/field/photos/{about['client_id']}/", data, content_type="application/octet-stream",
        headers={"Upload-Offset": "0"},
    )  # fmt: skip
    assert PhotoUpload.objects.get(client_id=about["client_id"]).state == "parked"
    assert hole.photos.count() == before


@pytest.mark.parametrize("data", [*HIDDEN.values(), *NO_PICTURE.values()], ids=[*HIDDEN, *NO_PICTURE])
def test_evidence_is_a_pdf_or_a_clean_picture(data: bytes) -> None:
    try:
        kept = take_evidence(Upload(data, "consent.html"))
    except EvidenceError:
        return
    assert kept.store_name.endswith((".jpg", ".pdf"))
    content = kept.content.read()
    if kept.store_name.endswith(".jpg"):
        assert [tell for tell in TELL_TALE if tell in content] == []
    else:
        assert content.startswith(b"%PDF-")


NAMES = [
    "../../../etc/cron.d/evil",
    "..\\..\\windows\\evil.jpg",
    "/etc/passwd",
    "C:\\autoexec.bat",
    "find\0.html.jpg",
    "find.jpg\r\nSet-Cookie: a=b",
    "\u202egpj.exe",
    "<img src=x onerror=alert(1)>.jpg",
    "find.php",
    "find.html",
    ".htaccess",
    "con.jpg",
    "a" * 300 + ".jpg",
    "%2e%2e%2fevil.jpg",
    "{{ settings.SECRET_KEY }}.jpg",
]


@pytest.mark.parametrize("name", NAMES, ids=lambda name: ascii(name)[:24])
def test_a_name_leads_nowhere_and_is_not_kept(name: str, ground: Ground) -> None:
    send(ground, PICTURE, name)
    photo = new_photo(ground)
    assert photo is not None
    for file in (photo.display, photo.thumb):
        path = Path(default_storage.path(file.name)).resolve()
        assert path.is_relative_to(Path(settings.MEDIA_ROOT).resolve())
        assert (path.suffix, len(path.stem)) == (".jpg", 32)
    served = ground.client("member").get(reverse("finds:photo", args=[photo.pk, "full"]))
    assert b"".join(served.streaming_content).startswith(b"\xff\xd8")
    assert "evil" not in str(served.headers)


@pytest.mark.parametrize("name", NAMES, ids=lambda name: ascii(name)[:24])
def test_a_refusal_shows_a_name_as_text(name: str, ground: Ground) -> None:
    page = send(ground, b"no picture", name).text
    assert "<img src=x" not in page
    assert settings.SECRET_KEY not in page
    assert "\u202e" not in page


@pytest.mark.parametrize("kind", ["text/html", "image/svg+xml", "application/x-php", "multipart/form-data"])
def test_the_kind_that_a_browser_states_is_not_believed(kind: str, ground: Ground) -> None:
    send(ground, PICTURE, kind=kind)
    photo = new_photo(ground)
    assert photo is not None
    served = ground.client("member").get(reverse("finds:photo", args=[photo.pk, "full"]))
    b"".join(served.streaming_content)
    assert served["Content-Type"] == "image/jpeg"
    assert served["X-Content-Type-Options"] == "nosniff"
    assert "sandbox" in served["Content-Security-Policy"]
    assert served["Cache-Control"] == "private, no-store"


def test_thirteen_photographs_at_once_are_refused_before_any_is_read(ground: Ground) -> None:
    url = reverse("finds:photo_add", args=[ground.world.find.pk])
    files = [SimpleUploadedFile(f"{number}.jpg", b"\xff\xd8") for number in range(13)]
    page = ground.client("member").post(url, {"photos": files, "view": "face"}, follow=True).text
    assert "13 photographs are too many at once" in page
    assert new_photo(ground) is None
