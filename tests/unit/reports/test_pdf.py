"""The PDF is read back: its words, tags, title, language and pages, and that nothing in the words was run."""

import io
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from pypdf import PdfReader
from pypdf.generic import IndirectObject

from reports.blocks import (
    Column,
    Heading,
    MapBlock,
    Paragraph,
    Photo,
    PhotoGrid,
    ReportError,
    SignatureBox,
    Table,
)
from reports.content import digest
from reports.pdf import render, render_pdf
from reports.showable import held_together
from tests.unit.reports.sample import EVERY_BLOCK, HOLES, HOSTILE, PHOTOS, SVG, hostile, jpeg, report

WHOLE = report(*EVERY_BLOCK)


def read(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def words(pdf: bytes) -> str:
    return "\n".join(page.extract_text() for page in read(pdf).pages)


def squeezed(text: str) -> str:
    return "".join(text.replace("\u200b", "").replace("\u00ad", "").split())


def tags(pdf: bytes) -> list[tuple[str, Any]]:
    """Every structure element in reading order with its dictionary."""

    def walk(node: Any) -> Iterator[tuple[str, Any]]:
        node = node.get_object() if isinstance(node, IndirectObject) else node
        if isinstance(node, list):
            for kid in node:
                yield from walk(kid)
        elif isinstance(node, dict):
            if "/S" in node:
                yield str(node["/S"]), node
            if "/K" in node:
                yield from walk(node["/K"])

    return list(walk(read(pdf).trailer["/Root"]["/StructTreeRoot"]))


@pytest.fixture(scope="module")
def whole() -> bytes:
    return render_pdf(WHOLE, PHOTOS)


def test_every_word_of_every_block_is_there(whole: bytes) -> None:
    text = squeezed(words(whole))
    for expected in (
        "Visit to Marsh Farm", "Sunday 13 September 2026", "Long Marsh (RD-07)", "Overdue: Report to the coroner",
        "Caution", "Still open", "Where", "North is up.", "One line.", "A new paragraph.", "Weather", "Depth, cm",
        "Depths to the nearest centimetre.", "Find 012", "Photograph not available: A buckle",
        "Filled: no photograph", "Second", "2.Two", "Received with thanks.", "For the landholder", "Signature",
    ):  # fmt: skip
        assert squeezed(expected) in text, expected


def test_every_page_bears_the_club_the_number_its_page_and_the_hash(whole: bytes) -> None:
    pages = read(whole).pages
    assert len(pages) >= 2
    for number, page in enumerate(pages, 1):
        text = squeezed(page.extract_text())
        assert squeezed("Ravensand & District Search Club") in text
        assert "RD-2026-031" in text
        assert f"Page{number}of{len(pages)}" in text
        assert squeezed("Issued 14 September 2026") in text
        assert digest(WHOLE) in text


# ISO 14289-1:2014 (PDF/UA-1), from memory: 5 identifier; 7.1 tags, title shown; 7.2 language.
def test_file_claims_and_carries_what_pdf_ua_1_asks(whole: bytes) -> None:
    reader = read(whole)
    root = reader.trailer["/Root"]
    assert reader.metadata is not None
    assert reader.metadata.title == "Visit to Marsh Farm"
    assert root["/Lang"] == "en-GB"
    assert root["/MarkInfo"]["/Marked"] is True or root["/MarkInfo"]["/Marked"].value is True
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert b"<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_object().get_data()


def test_reading_order_has_headings_tables_lists_and_figures_with_words(whole: bytes) -> None:
    found = tags(whole)
    names = [name for name, _ in found]
    assert [n for n in names if n in ("/H1", "/H2", "/H3")] == ["/H1", "/H2", "/H3"]
    assert names.count("/Table") == 1
    assert names.count("/TH") == 3
    assert names.count("/TD") == 6
    assert names.count("/L") == 2
    alts = [str(node["/Alt"]) for name, node in found if name == "/Figure" and "/Alt" in node]
    assert {"Map of Long Marsh with two holes", "A silver coin, worn", "The hole, open"} <= set(alts)


def test_long_table_stays_one_table_and_repeats_its_head() -> None:
    rows = tuple((f"{n:03d}", "Coin", "1.25") for n in range(1, 121))
    pdf = render_pdf(
        report(Table("Finds", (Column("No."), Column("Object"), Column("Weight, g", numeric=True)), rows)), {}
    )
    pages = read(pdf).pages
    assert len(pages) >= 3
    assert all("Weight, g" in page.extract_text() for page in pages)
    assert [name for name, _ in tags(pdf)].count("/Table") == 1
    assert "120" in pages[-1].extract_text()


def test_short_report_is_one_page() -> None:
    blocks = (
        Paragraph("Six members searched the northern half."),
        HOLES,
        SignatureBox("Received.", ("Landholder", "Club")),
    )
    assert len(read(render_pdf(report(*blocks), {})).pages) == 1


def test_same_report_gives_the_same_bytes(whole: bytes) -> None:
    assert render_pdf(WHOLE, PHOTOS) == whole
    assert render_pdf(WHOLE, {**PHOTOS, "unused": b"x"}) == whole
    assert render_pdf(replace(WHOLE, subtitle="Monday"), PHOTOS) != whole


def test_words_are_never_run() -> None:
    made = render(hostile(), PHOTOS)
    assert made.is_ua
    text = squeezed(words(made.pdf))
    assert text.count(squeezed(HOSTILE)) >= 15
    assert "root:" not in text
    assert read(made.pdf).metadata.title == HOSTILE  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("given", "shown"),
    [
        ("a\0b\x07c\ufeffd\u202ee", "abcde"),
        ("find 🎉 here", "find[partypopper]here"),
        ("漢字", "[U+6F22][U+5B57]"),
        ("lone \ud800 half", "lone\ufffdhalf"),
        ("no one \U000e0fff there", "\ufffdthere"),
        ("Tŷ Ŵyn Łódź Þ ß", "TŷŴynŁódźÞß"),
        ("e\u0301te\u0301", "été"),
        ("Ελλάδα Київ", "ΕλλάδαКиїв"),
    ],
)
def test_any_character_is_shown_or_spelled_and_the_file_stays_pdf_ua(given: str, shown: str) -> None:
    made = render(hostile(given), PHOTOS)
    assert made.is_ua
    assert shown in squeezed(words(made.pdf))


def test_right_to_left_words_keep_the_file_pdf_ua() -> None:
    assert render(hostile("שלום عربي"), PHOTOS).is_ua


def test_spelled_out_characters_are_noted() -> None:
    made = render(report(Paragraph("🎉")), {})
    assert made.spelled_out == {"🎉"}
    assert squeezed("written in square brackets") in squeezed(words(made.pdf))
    assert "squarebrackets" not in squeezed(words(render_pdf(report(Paragraph("x")), {})))


def test_map_labels_are_spelled_out_too() -> None:
    made = render(report(MapBlock(SVG.replace("Long Marsh", "Marsh 🎉"), "map")), {})
    assert made.is_ua
    assert "[partypopper]" in squeezed(words(made.pdf))


@pytest.mark.parametrize("run", ["x" * 5000, "9" * 300, "https://example.org/" + "a" * 200])
def test_long_run_stays_on_the_paper(run: str) -> None:
    pdf = render_pdf(
        report(Table("T", (Column("A"), Column("B", numeric=True)), ((run, "1"),)), Paragraph(run)), {}
    )
    lines = [line for page in read(pdf).pages for line in page.extract_text().splitlines()]
    in_the_run = [line for line in lines if squeezed(line) and squeezed(line) in run]
    assert len(in_the_run) >= 4  # broken into lines
    assert (
        max(len(squeezed(line)) for line in in_the_run) <= 112
    )  # 174 mm hold about 100 letters of this size


def test_headings_never_skip_a_level() -> None:
    made = render(report(Heading("Deep", 3), Heading("Next"), Heading("Under", 3)), {})
    assert made.is_ua
    assert [n for n, _ in tags(made.pdf) if n.startswith("/H")] == ["/H1", "/H2", "/H2", "/H3"]


@pytest.mark.parametrize("data", [b"", b"not a picture", jpeg()[:200]], ids=["empty", "text", "cut off"])
def test_damaged_photograph_leaves_its_words(data: bytes) -> None:
    made = render(report(PhotoGrid((Photo("coin", "A silver coin"),))), {"coin": data})
    assert made.is_ua
    assert squeezed("Photograph not available: A silver coin") in squeezed(words(made.pdf))


def test_photograph_finer_than_paper_is_made_smaller_and_a_thumbnail_is_kept_as_it_is() -> None:
    grid = report(PhotoGrid((Photo("coin", "A coin"),)))
    image = read(render_pdf(grid, {"coin": jpeg(2560, 1920)})).pages[0].images[0].image
    assert image is not None
    assert image.width == 436  # 55.33 mm at 200 dots an inch
    assert read(render_pdf(grid, PHOTOS)).pages[0].images[0].data == PHOTOS["coin"]


def test_map_that_is_not_svg_is_refused_by_name() -> None:
    with pytest.raises(ReportError, match="RD-2026-031 could not be set as a PDF"):
        render_pdf(report(MapBlock("not svg", "map")), {})


def test_what_ua_refuses_is_still_set_but_claims_nothing(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """A heading that skips a level is refused by the standard, not by the typesetter."""
    monkeypatch.setattr("reports.pdf._level_headings", lambda blocks: blocks)
    made = render(report(Heading("Deep", 3)), {})
    assert not made.is_ua
    assert "Deep" in words(made.pdf)
    assert "/StructTreeRoot" in read(made.pdf).trailer["/Root"]
    assert b"pdfuaid" not in made.pdf
    assert "does not claim PDF/UA-1" in caplog.text


@pytest.mark.parametrize(("language", "lang"), [("en-GB", "en-GB"), ("cy", "cy"), ("not a language", "en")])
def test_language_is_the_reports(language: str, lang: str) -> None:
    assert read(render_pdf(report(language=language), {})).trailer["/Root"]["/Lang"] == lang


@pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="pdftotext (poppler-utils) is not on this machine"
)
def test_another_reader_finds_the_same_words(whole: bytes) -> None:
    text = subprocess.run(
        ["pdftotext", "-", "-"], input=whole, capture_output=True, check=True
    ).stdout.decode()
    assert "Visit to Marsh Farm" in text
    assert "Depth, cm" in text


@pytest.mark.parametrize(
    ("text", "held"),
    [
        ("01632 960102", "01632\u00a0960102"),
        ("999 or 101", "999\u00a0or\u00a0101"),
        ("TA 4915 1648 (±8 m)", "TA\u00a04915\u00a01648\u00a0(±8\u00a0m)"),
        (
            "Found at TA 4915 1648 (±8 m), by the gate",
            "Found at TA\u00a04915\u00a01648\u00a0(±8\u00a0m), by the gate",
        ),
        ("4 m of wall", "4 m of wall"),
        ("10 Oct 2026 12:55", "10 Oct 2026 12:55"),
    ],
)
def test_a_place_and_a_number_to_call_stay_on_one_line(text: str, held: str) -> None:
    assert held_together(text) == held
