"""Write a data package: the same content gives the same bytes, and memory does not grow with the photographs.

Files are stored and not compressed: photographs are compressed already, and what a compressor makes of the rest
differs between its versions, so that two machines would write two files.
"""

import hashlib
import json
import re
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import IO, Any, Self
from zipfile import ZIP_STORED, ZipFile, ZipInfo

from finds.models import FindPhoto
from reports.blocks import Report
from reports.build.heritage_case import CaseFacts
from reports.content import digest, to_json
from reports.package.columns import Col, Sheet, iso, sheets_of
from reports.package.geojson import CRS, NOTE, findspots, searched_ground
from web.csv_safe import csv_lines

FORMAT = 1
_DAY = (1980, 1, 1, 0, 0, 0)  # the earliest that ZIP knows: when it was packed says nothing
_PART = 256 * 1024
_IN_MEMORY = 4 * 1024 * 1024
_PLAIN = re.compile(r"[^A-Za-z0-9-]+")
PHOTOGRAPHS = (
    Col("file", "Name in this package; empty where the club has lost the file", lambda row: row[0]),
    Col("number", "Find number", lambda row: row[1]),
    Col("shows", "Which side, and whether with a scale", lambda row: row[2].shows),
    Col("caption", "In words", lambda row: row[2].caption),
    Col(
        "taken at",
        "Local time with its offset from UTC, ISO 8601; empty where not known",
        lambda row: iso(row[2].taken_at),
    ),
    Col("width (px)", "Pixels", lambda row: row[2].width),
    Col("height (px)", "Pixels", lambda row: row[2].height),
    Col("sha256", "Of the file in this package", lambda row: row[3]),
    Col(
        "sha256 of the original",
        "Of the file as it came from the camera, which the club keeps",
        lambda row: row[2].original_sha256,
    ),
)
DICTIONARY = (
    Col("file", "Table", lambda row: row[0]),
    Col("column", "Column", lambda row: row[1].name),
    Col("meaning", "What it means, with its unit", lambda row: row[1].means),
)
README = """{club}: data package of heritage report {number}, issued {day}

report.pdf             the report as issued
content.json           the same report as data; its SHA-256 is printed in the foot of each page of the PDF
findspots.geojson      one point an object (RFC 7946)
searched-ground.geojson  the ground that was searched, also where nothing was found
objects.csv            one row an object
duties.csv             clauses of the law that may ask for a report, and why
custody.csv            who held each object from the day it was found
search.csv             people, hours, ground and holes of the search, blank holes included
photographs.csv        one row a photograph
photographs/           the photographs, without the data that cameras add
dictionary.csv         what each column of each table means
manifest.json          SHA-256 and size of every file

Coordinates: {crs}
{note}
Tables: comma separated, UTF-8 with a byte order mark, every text in double quotes. An apostrophe before a text that
begins with = + - or @ keeps a spreadsheet from running it; it is no part of the text.
Whether the files are those that were sent: compare each with its SHA-256 in manifest.json.
"""


@dataclass
class PackageFile:
    """A package in a file that goes away when it is closed; use it as a context."""

    stream: IO[bytes]
    sha256: str
    size: int

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self.stream.close()


@dataclass
class _Packer:
    """The open archive and what it holds so far."""

    archive: ZipFile
    files: dict[str, dict[str, Any]] = field(default_factory=dict)

    def add(self, name: str, parts: Iterator[bytes]) -> str:
        """Write one file part by part; return its SHA-256."""
        info = ZipInfo(name, _DAY)
        info.compress_type, info.create_system, info.external_attr = ZIP_STORED, 3, 0o644 << 16
        seal, size = hashlib.sha256(), 0
        with self.archive.open(info, "w") as out:
            for part in parts:
                seal.update(part)
                size += len(part)
                out.write(part)
        self.files[name] = {"sha256": seal.hexdigest(), "bytes": size}
        return seal.hexdigest()

    def text(self, name: str, text: str) -> None:
        self.add(name, iter([text.encode("utf-8")]))

    def sheet(self, sheet: Sheet) -> None:
        header = [column.name for column in sheet.columns]
        self.add(sheet.file, (line.encode("utf-8") for line in csv_lines(header, sheet.lines())))


def write_package(report: Report, facts: CaseFacts, pdf: bytes) -> PackageFile:
    """The data of `facts` with the `report` made from them and its `pdf`. Call it outside any transaction."""
    stream: IO[bytes] = tempfile.SpooledTemporaryFile(max_size=_IN_MEMORY, prefix="package-")  # noqa: SIM115
    with ZipFile(stream, "w", ZIP_STORED) as archive:
        packer = _Packer(archive)
        packer.text("README.txt", _readme(report))
        packer.add("report.pdf", iter([pdf]))
        packer.text("content.json", to_json(report))
        packer.text("findspots.geojson", findspots(facts))
        packer.text("searched-ground.geojson", searched_ground(facts))
        sheets = [*sheets_of(facts), Sheet("photographs.csv", PHOTOGRAPHS, _photographs(packer, facts))]
        about = tuple((sheet.file, column) for sheet in sheets for column in sheet.columns)
        for sheet in (*sheets, Sheet("dictionary.csv", DICTIONARY, about)):
            packer.sheet(sheet)
        packer.text("manifest.json", _manifest(report, facts, packer.files, pdf))
    stream.seek(0)
    sha256, size = hashlib.sha256(), 0
    for part in _parts(stream):
        sha256.update(part)
        size += len(part)
    stream.seek(0)
    return PackageFile(stream, sha256.hexdigest(), size)


def _readme(report: Report) -> str:
    day = f"{report.issued_on:%-d %B %Y}"
    return README.format(club=report.club, number=report.number, day=day, crs=CRS, note=NOTE)


def _photographs(packer: _Packer, facts: CaseFacts) -> tuple[tuple[str, str, FindPhoto, str], ...]:
    """Write each photograph as it is shown, which has lost what its camera added; one after the other."""
    rows = []
    for each in facts.objects:
        for number, photo in enumerate(each.photos, 1):
            name = f"photographs/{_PLAIN.sub('_', each.find.number)}-{number}.jpg"
            try:
                with photo.display.open("rb") as file:
                    rows.append((name, each.find.number, photo, packer.add(name, _parts(file))))
            except FileNotFoundError:  # one file lost from the store must not keep a report from going out
                rows.append(("", each.find.number, photo, ""))
    return tuple(rows)


def _parts(file: IO[bytes]) -> Iterator[bytes]:
    while part := file.read(_PART):
        yield part


def _manifest(report: Report, facts: CaseFacts, files: dict[str, dict[str, Any]], pdf: bytes) -> str:
    body = {
        "format": FORMAT,
        "report": report.number,
        "case": facts.case.number,
        "club": report.club,
        "issued_on": report.issued_on.isoformat(),
        "coordinates": CRS,
        "note": NOTE,
        "content_sha256": digest(report),
        "pdf_sha256": hashlib.sha256(pdf).hexdigest(),
        "files": [{"name": name, **files[name]} for name in sorted(files)],
    }
    return json.dumps(body, ensure_ascii=False, indent=1, sort_keys=True) + "\n"
