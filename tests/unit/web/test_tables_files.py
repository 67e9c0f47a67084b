"""Files as they come, good and hostile: spreadsheets, text in several letters, bombs, entities, formulas.

Source for the format: ISO/IEC 29500-1 (SpreadsheetML), written by openpyxl here, and in part by hand; for entity
attacks the examples of the defusedxml documentation (billion laughs, external entity).
"""

import io
import zipfile
from datetime import date, datetime, time
from pathlib import Path
from random import Random
from typing import Any

import openpyxl
import pytest
from openpyxl.worksheet.formula import ArrayFormula

from people.import_fields import MEMBER_FIELDS
from web.tables.errors import TableError
from web.tables.guess import Guesser
from web.tables.source import Source, read_source
from web.tables.spreadsheet import first_rows

pytestmark = pytest.mark.once
GUESSER = Guesser(MEMBER_FIELDS)
HEADER = ["Name", "E-mail"]
ROWS = [HEADER, ["Mo Samphire", "mo@ravensand.example"]]


def book(**sheets: list[list[Any]]) -> bytes:
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, rows in sheets.items():
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append(row)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def repacked(data: bytes, **parts: bytes) -> bytes:
    """The same spreadsheet with parts (their last name without dots) put in another's place."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, parts.get(Path(name).stem, old.read(name)))
    return out.getvalue()


def read(data: bytes, **said: str) -> Source:
    return read_source(data, GUESSER, **said)


def lines(data: bytes, **said: str) -> list[tuple[int, list[str]]]:
    sheet = read(data, **said).sheet
    assert sheet is not None
    return sheet.lines


def test_a_spreadsheet_is_read_as_text_that_means_one_thing() -> None:
    row = [
        date(2019, 4, 3),
        datetime(2019, 4, 3, 14, 30),
        time(9, 5),
        12.0,
        12.5,
        True,
        None,
        "007 ",
        7700900321,
    ]
    assert lines(book(Members=[HEADER, row])) == [
        (1, HEADER),
        (2, ["2019-04-03", "2019-04-03 14:30", "09:05", "12", "12.5", "yes", "", "007 ", "7700900321"]),
    ]


def test_rows_that_hold_nothing_are_passed_over_and_lines_are_those_of_the_sheet() -> None:
    assert [line for line, _ in lines(book(A=[[], HEADER, [None], ["Mo", "x"]]))] == [2, 4]


def test_of_several_sheets_one_is_to_be_chosen() -> None:
    data = book(Members=ROWS, Empty=[], Fields=[["Code"], ["SF01"]])
    assert read(data).sheet is None
    assert [sheet.name for sheet in read(data).sheets] == ["Members", "Fields"]
    assert lines(data, sheet="Fields") == [(1, ["Code"]), (2, ["SF01"])]
    with pytest.raises(TableError, match="There is no sheet “Finds”"):
        read(data, sheet="Finds")


def test_hidden_sheets_are_not_offered() -> None:
    made = openpyxl.load_workbook(io.BytesIO(book(Members=ROWS, Secret=ROWS)))
    made["Secret"].sheet_state = "hidden"
    out = io.BytesIO()
    made.save(out)
    assert [sheet.name for sheet in first_rows(out.getvalue())] == ["Members"]


SHEET_WITH_FORMULAS = b"""<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>
<row r="1"><c r="A1" t="inlineStr"><is><t>Name</t></is></c><c r="B1" t="inlineStr"><is><t>E-mail</t></is></c></row>
<row r="2"><c r="A2" t="str"><f>"Mo"&amp;" Samphire"</f><v>Mo Samphire</v></c>
<c r="B2" t="str"><f>HYPERLINK("x")</f></c></row>
<row r="3"><c r="A3" t="e"><v>#REF!</v></c></row>
</sheetData></worksheet>"""


def test_formulas_give_their_last_result_and_one_without_is_named() -> None:
    sheet = read(repacked(book(Members=ROWS), sheet1=SHEET_WITH_FORMULAS)).sheet
    assert sheet is not None
    assert sheet.lines[1] == (2, ["Mo Samphire"])
    assert sheet.unread == {(2, 1)}
    assert "2 formulas" in sheet.notes[0]


def test_formulas_written_without_results_are_all_named() -> None:
    made = openpyxl.Workbook()
    made.active.append([*HEADER, "Total"])
    made.active.append(["Mo", "=A2", ArrayFormula("C2", "=SUM(1,2)")])
    out = io.BytesIO()
    made.save(out)
    sheet = read(out.getvalue()).sheet
    assert sheet is not None
    assert sheet.unread == {(2, 1), (2, 2)}


LAUGHS = b"""<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">
<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]>"""
OUTSIDE = b"""<?xml version="1.0"?><!DOCTYPE x [<!ENTITY c SYSTEM "file:///etc/hostname">]>"""
WITH_ENTITY = b"""<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>
<row r="1"><c r="A1" t="inlineStr"><is><t>&c;</t></is></c></row></sheetData></worksheet>"""
STRINGS = (
    b"""<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><si><t>&c;</t></si></sst>"""
)


@pytest.mark.parametrize("before", [LAUGHS, OUTSIDE])
@pytest.mark.parametrize(
    ("part", "text"), [("sheet1", WITH_ENTITY), ("workbook", b"<x>&c;</x>"), ("styles", b"<x>&c;</x>")]
)
def test_entities_are_refused_wherever_they_stand(before: bytes, part: str, text: bytes) -> None:
    assert openpyxl.DEFUSEDXML is True
    with pytest.raises(TableError, match="cannot be read"):
        read(repacked(book(Members=ROWS), **{part: before + text}))


def test_entities_are_refused_in_the_shared_strings() -> None:
    kind = b"application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
    listed = b'<Override PartName="/xl/sharedStrings.xml" ContentType="' + kind + b'"/></Types>'
    old = zipfile.ZipFile(io.BytesIO(book(Members=ROWS))).read("[Content_Types].xml")
    data = repacked(book(Members=ROWS), **{"[Content_Types]": old.replace(b"</Types>", listed)})
    plain, hostile = io.BytesIO(data), io.BytesIO(data)
    for out, strings in ((plain, STRINGS.replace(b"&c;", b"x")), (hostile, LAUGHS + STRINGS)):
        with zipfile.ZipFile(out, "a") as packed:
            packed.writestr("xl/sharedStrings.xml", strings)
    assert lines(plain.getvalue())[0] == (1, HEADER)
    with pytest.raises(TableError, match="cannot be read"):
        read(hostile.getvalue())


def test_a_zip_bomb_is_refused_before_it_is_unpacked() -> None:
    bomb = repacked(book(Members=ROWS), sheet1=b" " * 30_000_000)
    assert len(bomb) < 100_000
    with pytest.raises(TableError, match="unpacks to 30 MB"):
        read(bomb)


def test_a_row_far_down_and_a_column_far_out_cost_nothing() -> None:
    far = b"""<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">
    <dimension ref="A1:XFD1048576"/>
    <sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>Name</t></is></c></row>
    <row r="1048576"><c r="XFD1048576" t="inlineStr"><is><t>x</t></is></c></row></sheetData></worksheet>"""
    assert lines(repacked(book(Members=ROWS), sheet1=far)) == [(1, ["Name"])]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "The file is empty"),
        (b"  \n ", "The file is empty"),
        (b"\xd0\xcf\x11\xe0" + b"x" * 600, "an old spreadsheet file"),
        (b"%PDF-1.7 ...", "This is a PDF"),
        (b"\xef\xbb\xbf<html><table>", "a web page"),
        (b"PK\x03\x04 broken", "cannot be read"),
        (b"Name,E-mail\nMo,\0\n", "NUL character"),
        (b"Name,E-mail\n" + b"a" * 10_000_001, "The file has 10 MB"),
        (b'Name,E-mail\n"Mo,x\n', "cannot be read"),
        (b"Name\n" + b"a" * 11_000 + b"\n", "11,000 letters in one cell"),
        (b",".join(b"x" for _ in range(121)) + b"\n", "121 columns"),
        (b"Name\n" + b"Mo\n" * 3_002, "more than 3,000 rows"),
    ],
)  # fmt: skip
def test_what_is_no_table_is_refused_with_the_remedy(data: bytes, words: str) -> None:
    with pytest.raises(TableError, match=words) as caught:
        read(data)
    assert caught.value.remedy


def test_too_many_rows_of_a_spreadsheet_are_refused() -> None:
    row = b'<row><c t="inlineStr"><is><t>x</t></is></c></row>'
    sheet = (b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
             + row * 3_002 + b"</sheetData></worksheet>")  # fmt: skip
    with pytest.raises(TableError, match="more than 3,000 rows"):
        read(repacked(book(Members=ROWS), sheet1=sheet))


def test_a_cell_of_a_megabyte_is_refused() -> None:
    with pytest.raises(TableError, match="letters in one cell"):
        read(
            repacked(
                book(Members=ROWS),
                sheet1=WITH_ENTITY.replace(b"&c;", Random(1).randbytes(500_000).hex().encode()),
            )
        )


def test_other_zipped_files_are_named() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        packed.writestr("content.xml", "<x/>")
    with pytest.raises(TableError, match="OpenDocument"):
        read(out.getvalue())
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        packed.writestr("list.csv", "Name")
    with pytest.raises(TableError, match="zipped file and no spreadsheet"):
        read(out.getvalue())


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_text_is_read_in_any_letters_and_with_any_separator(separator: str, encoding: str) -> None:
    text = f"Naam{separator}E-mail\r\nZoë{separator}z@x.example\r\n"
    found = read(text.encode(encoding))
    assert found.sheets[0].lines == [(1, ["Naam", "E-mail"]), (2, ["Zoë", "z@x.example"])]
    assert found.letters is not None
    assert found.letters.separator == separator
    assert found.samples() == ["Zoë"]
