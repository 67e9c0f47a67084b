"""A report as a tagged PDF (PDF/UA-1): the same report gives the same bytes on every machine."""

import json
import logging
import re
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import typst
from django.utils.translation import gettext as _

from people.languages import speaking
from reports.blocks import NoticeKind, Report, ReportError
from reports.content import digest, to_data
from reports.pdf_photos import photos_in, place, widths_of
from reports.pdf_words import pdf_words
from reports.showable import fonts, held_together, lacking, plain_text, refused_by, spelled, with_breaks

_TEMPLATES = Path(__file__).parent / "typst"
_LANGUAGE = re.compile(r"([a-z]{2,3})(?:-([A-Z]{2}))?")
_SVG_SIZE = re.compile(r'<svg[^>]*?\bwidth="([0-9.]+)"[^>]*?\bheight="([0-9.]+)"')
_MAP_HEIGHT_MM, _TEXT_WIDTH_MM = 190.0, 174.0
_FULL_WIDTH = 640.0
"""User units of a picture as wide as the text; a narrower one is made for phones, not to be blown up."""
_TRIES = 4
_LAST_LATIN = 0x24F
_LONGEST_CODE = 20  # TA 4915 1648 (±8 m), held together
log = logging.getLogger(__name__)


@dataclass(frozen=True)
class RenderedPdf:
    """The file, whether it claims PDF/UA-1, and the characters that had to be spelled out."""

    pdf: bytes
    is_ua: bool
    spelled_out: frozenset[str]


def render_pdf(report: Report, photos: Mapping[str, bytes]) -> bytes:
    """The report as an A4 PDF; see `render`."""
    return render(report, photos).pdf


def render(report: Report, photos: Mapping[str, bytes]) -> RenderedPdf:
    """The report as an A4 PDF with tags, bookmarks, page numbers and the hash of its content in each footer.

    `photos` maps keys to JPEG or PNG; one finer than paper can show is made smaller, one missing or damaged
    leaves a box with its words. Words go in as data and are never run. Characters that the fonts lack
    are spelled in square brackets. Should the compiler still refuse PDF/UA-1, the file is tagged but does not
    claim the standard, and a warning is logged. Call it outside any transaction. Raises ReportError if the
    document cannot be set at all, for instance over a map that is not SVG.
    """
    with tempfile.TemporaryDirectory(prefix="report-") as name:
        folder = Path(name)
        shutil.copytree(_TEMPLATES, folder, dirs_exist_ok=True)
        data = to_data(report)
        placed = place(photos, widths_of(data["blocks"]), folder)
        for block in data["blocks"]:
            for photo, width_mm in photos_in(block):
                one = placed.get(photo["key"])
                photo.update(file=one and one.file, ratio=one.ratio if one else 1.0, width=width_mm)
        with speaking(report.language.lower()):
            return _set(report, data, folder)


def _set(report: Report, data: dict[str, Any], folder: Path) -> RenderedPdf:
    """Compile under PDF/UA-1, spelling out what the compiler refuses; at last without the claim.

    Words in pictures choose their fonts in another way, and a refusal of them names no character: then all in
    them that is not Latin is spelled out.
    """
    without = lacking(plain_text(text) for text in _texts(data))
    in_pictures: frozenset[str] = frozenset()
    for _rest in range(_TRIES):
        inputs = _inputs(report, data, folder, without, in_pictures)
        try:
            return RenderedPdf(_compile(folder, inputs, report, ["ua-1"]), True, without)
        except typst.TypstError as error:
            refused = frozenset(refused_by(error)) - without
            foreign = frozenset() if refused else _not_latin(data) - in_pictures
            in_pictures |= foreign
            if not refused and not foreign:
                log.warning("report %s does not claim PDF/UA-1: %s", report.number, error.message)
                break
            without |= refused
    try:
        return RenderedPdf(_compile(folder, inputs, report, []), False, without)
    except typst.TypstError as error:
        raise ReportError(
            _("Report %(report_number)s could not be set as a PDF: %(error_message)s.")
            % {"report_number": report.number, "error_message": error.message}
        ) from error


def _not_latin(data: dict[str, Any]) -> frozenset[str]:
    """The characters of the pictures' words beyond Latin letters and common marks."""
    svgs = (block["svg"] for block in data["blocks"] if block["block"] == "MapBlock")
    return frozenset(c for svg in svgs for c in svg if ord(c) > _LAST_LATIN and c not in "–—‘’“”…×")


def _compile(folder: Path, inputs: str, report: Report, standards: list[Any]) -> bytes:
    day = report.issued_on
    return typst.compile(
        folder / "report.typ",
        root=folder,
        font_paths=fonts(),
        sys_inputs={"data": inputs},
        pdf_standards=standards,
        timestamp=datetime(day.year, day.month, day.day, tzinfo=UTC),
    )


def _inputs(
    report: Report, data: dict[str, Any], folder: Path, without: frozenset[str], in_pictures: frozenset[str]
) -> str:
    """The JSON the template reads: every text showable, and beside it what the template cannot work out."""

    def showable(text: str) -> str:
        return spelled(held_together(with_breaks(plain_text(text))), without)

    ready = _each_text(data, showable)
    day = report.issued_on
    language = _LANGUAGE.fullmatch(report.language)
    blocks = _level_headings(ready["blocks"])
    ready["blocks"] = [
        _ready_block(block, n, folder, without | in_pictures) for n, block in enumerate(blocks)
    ]
    ready.update(
        hash=digest(report),
        words=_each_text(pdf_words(day), showable),
        date={"year": day.year, "month": day.month, "day": day.day},
        lang=language[1] if language else "en",
        region=language[2] if language else None,
        replaced=bool(without or in_pictures),
    )
    return json.dumps(ready)


def _level_headings(blocks: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Headings that skip no level, which PDF/UA-1 forbids: a third level before any second becomes one."""
    level, ready = 1, []
    for block in blocks:
        if block["block"] == "Heading":
            level = min(block["level"], level + 1)
            block = {**block, "level": level}
        ready.append(block)
    return ready


def _ready_block(block: dict[str, Any], number: int, folder: Path, without: frozenset[str]) -> dict[str, Any]:
    if block["block"] == "Table":
        return {**block, "widths": _widths(block)}
    if block["block"] == "Notice":
        return {**block, "word": NoticeKind(block["kind"]).word}
    if block["block"] == "MapBlock":
        return _ready_map(block, number, folder, without)
    return block


def _ready_map(block: dict[str, Any], number: int, folder: Path, without: frozenset[str]) -> dict[str, Any]:
    """The map as a file, with the share of the text's width at which it is no taller than a page can bear."""
    svg, file = block["svg"], f"map-{number:04d}.svg"
    size = _SVG_SIZE.search(svg)
    ratio = float(size[1]) / float(size[2]) if size and float(size[2]) else 1.0
    share = float(size[1]) / _FULL_WIDTH if size else 1.0
    (folder / file).write_text(spelled(svg, without), encoding="utf-8", errors="replace")
    return {
        **block,
        "svg": "",
        "file": file,
        "ratio": min(1.0, share, ratio * _MAP_HEIGHT_MM / _TEXT_WIDTH_MM),
    }


def _widths(table: dict[str, Any]) -> list[int]:
    """Shares of the width by the longest text in each column; 0 for one just as wide as its figures or codes.

    A short code must be one: beside columns of long words its share is less than it needs, and it runs into the next.
    """
    widths = []
    for x, column in enumerate(table["columns"]):
        longest = max([len(row[x]) for row in table["rows"]] + [len(column["label"])])
        is_code = (
            longest <= _LONGEST_CODE
            and x < len(table["columns"]) - 1
            and not any(" " in row[x] or "\n" in row[x] for row in table["rows"])
        )
        widths.append(0 if (column["numeric"] and longest <= 12) or is_code else min(max(longest, 6), 40))
    return widths if any(widths) else [1, *widths[1:]]


def _texts(value: Any) -> Iterator[str]:
    """Every text in the data, the maps' markup included."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, list | dict):
        for item in value.values() if isinstance(value, dict) else value:
            yield from _texts(item)


def _each_text(value: Any, change: Callable[[str], str]) -> Any:
    """The same data with every text changed, except a map's SVG, which is markup."""
    if isinstance(value, str):
        return change(value)
    if isinstance(value, list):
        return [_each_text(item, change) for item in value]
    if isinstance(value, dict):
        return {key: item if key == "svg" else _each_text(item, change) for key, item in value.items()}
    return value
