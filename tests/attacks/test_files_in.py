"""Files that are read: entities, bombs, names that lead out, tables and exports that mean harm; at every importer.

Sources: OWASP WSTG 4.2, WSTG-INPV-07 (XML injection, XXE); XML 1.0, 4.2.2 (external entities); APPNOTE 6.3.10, 4.4.17
(names in a zip); OWASP ASVS 5.0.0, 1.5.1, 5.2.1 to 5.2.3 and 5.3.3.
"""

import io
import json
import stat
import zipfile
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from field.account import account_of
from finds.models import FindImportDraft
from hunts.models import Track
from keeping.bring_in import bring_in
from keeping.errors import KeepingError
from keeping.export import FORMAT
from permissions.models import ImportDraft
from tests.attacks.ground import Ground
from tests.unit.geo.file_makers import SQUARE, gpx, kml, placemark, polygon, shp, zipped
from tests.views.test_protected import DETAILS

MB = 1_000_000
PASSWD = Path("/etc/passwd").read_text(encoding="utf-8").splitlines()[0]
HEADS = {
    "an entity from outside": '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>',
    "an entity from the network": '<!DOCTYPE x [<!ENTITY e SYSTEM "http://127.0.0.1:1/x">]>',
    "a document type from outside": '<!DOCTYPE x SYSTEM "file:///etc/passwd">',
    "a parameter entity": '<!DOCTYPE x [<!ENTITY % p SYSTEM "file:///etc/passwd"> %p; ]>',
    "a public identifier": '<!DOCTYPE x PUBLIC "-//X//EN" "http://127.0.0.1:1/x.dtd">',
    "a billion laughs": "<!DOCTYPE x [<!ENTITY a '"
    + "ha" * 50
    + "'>"
    + "".join(f"<!ENTITY {b} '{f'&{a};' * 10}'>" for a, b in zip("abcdefgh", "bcdefghi", strict=True))
    + "<!ENTITY e '&i;'>]>",
    "a long entity many times": f"<!DOCTYPE x [<!ENTITY e '{'a' * 60_000}'>]>",
}
NAMED = "&e;"


def kml_with(head: str) -> bytes:
    return kml(placemark(polygon(SQUARE), name=NAMED), head)


def gpx_with(head: str) -> bytes:
    return head.encode() + gpx([SQUARE], name=NAMED)


HOSTILE = {
    **{f"KML with {what}": ("f.kml", kml_with(head)) for what, head in HEADS.items()},
    **{f"GPX with {what}": ("f.gpx", gpx_with(head)) for what, head in HEADS.items()},
    **{f"KMZ with {what}": ("f.kmz", zipped({"doc.kml": kml_with(head)})) for what, head in HEADS.items()},
}


SOUND = kml(placemark(polygon(SQUARE)))
"""Each of these would be taken but for the one thing that is wrong with it."""


def link_in_zip() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        info = zipfile.ZipInfo("doc.kml")
        info.external_attr = (stat.S_IFLNK | 0o777) << 16
        archive.writestr(info, "/etc/passwd")
    return out.getvalue()


def lying_zip() -> bytes:
    """The list of files says 9 bytes; the file unpacks to six million."""
    data = bytearray(zipped({"doc.kml": SOUND + b" " * (6 * MB)}))
    at = data.rfind(b"PK\x01\x02")
    data[at + 24 : at + 28] = (9).to_bytes(4, "little")
    return bytes(data)


ZIPS = {
    "a bomb": zipped({"doc.kml": SOUND + b" " * (6 * MB)}),
    "a bomb in pieces": zipped({f"{n}.kml": SOUND + b" " * MB for n in range(6)}),
    "a bomb that lies": lying_zip(),
    "a zip in a zip": zipped({"f.zip": zipped({"doc.kml": SOUND})}),
    "a name that climbs": zipped({"../../../tmp/evil.kml": SOUND}),
    "a name from the root": zipped({"/etc/evil.kml": SOUND}),
    "a name with a drive": zipped({"C:\\evil.kml": SOUND}),
    "a link": link_in_zip(),
    "three thousand files": zipped({f"{n}.kml": SOUND for n in range(3000)}, zipfile.ZIP_STORED),
    "another packing": zipped({"doc.kml": SOUND}, zipfile.ZIP_BZIP2),
    "half a zip": zipped({"doc.kml": SOUND})[:-30],
    "half a shapefile": zipped({"f.shp": shp([SQUARE])[:90]}),
}


def send(page: str, name: str, data: bytes, ground: Ground) -> Any:
    """Send a file to the importer of one page as somebody who may."""
    more: dict[str, dict[str, Any]] = {
        "permissions:import_sites": {"crs": ""},
        "permissions:protected_import": DETAILS,
        "hunts:track_add": {"swath_m": "1.5", "accuracy_m": "5"},
    }
    args = [ground.world.hunt.pk] if page == "hunts:track_add" else []
    said = {"file": SimpleUploadedFile(name, data), "client_id": uuid4(), **more.get(page, {})}
    who = "leader" if page == "hunts:track_add" else "secretary"
    return ground.client(who).post(reverse(page, args=args), said)


def kept() -> int:
    return ImportDraft.objects.count() + FindImportDraft.objects.count() + Track.objects.count()


def is_turned_away(page: str, name: str, data: bytes, ground: Ground) -> None:
    """The page comes back with what was wrong; nothing is kept and nothing of the machine is on it."""
    before = kept()
    answer = send(page, name, data, ground)
    assert answer.status_code == 200, answer.headers
    assert "errors" in answer.text
    assert PASSWD not in answer.text
    assert settings.SECRET_KEY not in answer.text
    assert kept() == before


MAPS = ("permissions:import_sites", "permissions:protected_import")


PAGES = [
    MAPS[0],
    *(
        pytest.param(page, marks=pytest.mark.long)
        for page in (MAPS[1], "hunts:track_add", "finds:import_start")
    ),
]


@pytest.mark.parametrize("what", HOSTILE)
@pytest.mark.parametrize("page", PAGES)
def test_no_importer_resolves_an_entity(page: str, what: str, ground: Ground) -> None:
    is_turned_away(page, *HOSTILE[what], ground)


@pytest.mark.parametrize("page", [MAPS[1], "hunts:track_add", "finds:import_start"])
def test_nor_does_any_other_by_one_of_each_kind(page: str, ground: Ground) -> None:
    for what in (
        "KML with an entity from outside",
        "GPX with a billion laughs",
        "KMZ with a parameter entity",
    ):
        is_turned_away(page, *HOSTILE[what], ground)


@pytest.mark.parametrize("data", ZIPS.values(), ids=ZIPS)
@pytest.mark.parametrize("page", PAGES)
@pytest.mark.usefixtures("small")
def test_no_importer_unpacks_what_means_harm(page: str, data: bytes, ground: Ground) -> None:
    is_turned_away(page, "f.kmz", data, ground)


def test_what_another_document_is_asked_to_lend_is_not_read(ground: Ground) -> None:
    """XInclude needs no document type; nothing here follows it."""
    lent = '<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" parse="text" href="file:///etc/passwd"/>'
    answer = send("permissions:import_sites", "f.kml", kml(placemark(polygon(SQUARE)) + lent), ground)
    page = ground.client("secretary").get(answer.url) if answer.status_code == 302 else answer
    assert PASSWD not in page.text


TABLES = {
    "U+0000": b"hunt,object\nH1,\0\n",
    "a quote that never ends": b'hunt,object\n"' + b"a" * 200_000,
    "a cell of two million letters": b"hunt,object\nH1," + b"a" * 2_000_000,
    "five thousand columns": b",".join(b"c%d" % n for n in range(5000)) + b"\n",
    "no line": b"\xff\xfe\x00",
    "a program": b"\x7fELF\x02\x01\x01" + b"\0" * 90,
    "a spreadsheet": b"PK\x03\x04" + b"\0" * 90,
    "four thousand rows": b"hunt,object\n" + b"H1,x\n" * 4000,
}


@pytest.mark.parametrize("data", TABLES.values(), ids=TABLES)
def test_no_table_means_harm(data: bytes, ground: Ground) -> None:
    answer = send("finds:import_start", "f.csv", data, ground)
    assert answer.status_code in {200, 302}
    if answer.status_code == 302:
        assert ground.client("secretary").get(answer.url, follow=True).status_code == 200
    assert "Traceback" not in answer.text


PHONE_FILES = {
    "no JSON": b"<html>",
    "a deep one": b"[" * 50_000,
    "another account": json.dumps({"v": 1, "account": "x", "records": []}).encode(),
    "too many": None,
    "not a number": b'{"v": NaN}',
    "a zip": ZIPS["half a zip"],
}


@pytest.mark.parametrize("what", PHONE_FILES)
def test_no_file_of_a_phone_means_harm(what: str, ground: Ground) -> None:
    data = PHONE_FILES[what]
    if data is None:
        sent = {"v": 1, "account": account_of(ground.world.secretary), "records": [0] * 1001}
        data = json.dumps(sent).encode()
    answer = send("field:file", "f.json", data, ground)
    assert answer.status_code == 200
    assert "errors" in answer.text


def export_of(files: dict[str, bytes], manifest: Any = None) -> dict[str, bytes]:
    return ({} if manifest is None else {"manifest.json": json.dumps(manifest).encode()}) | files


FACTS = {"bytes": 1, "sha256": "ca978112ca1bbdcafac231b39a23dc4da786eff8147c4e72b9807785afee48bb"}  # of b"a"
WHOLE = {"format": "", "parts": {}, "files": {}, "tables": {}, "schema": [], "made_at": "", "missing": {}}
EXPORTS: dict[str, dict[str, bytes]] = {
    "no manifest": export_of({"x": b""}),
    "a manifest that is no JSON": {"manifest.json": b"{"},
    "a manifest too deep": {"manifest.json": b"[" * 100_000},
    "a manifest without its parts": export_of({}, {"format": "ours"}),
    "a manifest of lists": export_of({}, {"format": "ours", "parts": [], "files": 5, "tables": None}),
    "a manifest of another format": export_of({}, WHOLE | {"format": "other"}),
    "a part that is not there": export_of({}, WHOLE | {"format": "ours", "parts": {"x": FACTS}}),
    "a part that was changed": export_of({"x": b"b"}, WHOLE | {"format": "ours", "parts": {"x": FACTS}}),
    "a file that climbs": export_of(
        {"files/../../evil": b"a"}, WHOLE | {"format": "ours", "files": {"../../evil": FACTS}}
    ),
    "facts that are none": export_of({"x": b"a"}, WHOLE | {"format": "ours", "parts": {"x": "big"}}),
    "a schema of another program": export_of({}, WHOLE | {"format": "ours", "schema": ["evil.0001_initial"]}),
}


@pytest.mark.parametrize("files", EXPORTS.values(), ids=EXPORTS)
def test_no_export_means_harm(files: dict[str, bytes], tmp_path: Path, ground: Ground) -> None:
    """Taken in at the machine itself; a file that was handed on may still be anybody's."""
    packed = {name: data.replace(b'"ours"', json.dumps(FORMAT).encode()) for name, data in files.items()}
    path = tmp_path / "export.zip"
    path.write_bytes(zipped(packed))
    with pytest.raises(KeepingError):
        bring_in(path)
    assert not (Path(settings.MEDIA_ROOT).parent / "evil").exists()


def test_a_manifest_that_is_a_bomb_is_not_unpacked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, ground: Ground
) -> None:
    monkeypatch.setattr("keeping.bring_in.MOST_OF_MANIFEST", MB)
    path = tmp_path / "export.zip"
    path.write_bytes(zipped({"manifest.json": b" " * (2 * MB)}))
    with pytest.raises(KeepingError, match="manifest"):
        bring_in(path)
