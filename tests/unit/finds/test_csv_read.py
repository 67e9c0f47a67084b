"""CSV files as they come: encodings, separators, quotes, columns; and what is refused with its line.

Source for the format: RFC 4180 (quoting, line ends); Unicode Standard 23.8 for byte order marks.
"""

import pytest

from finds.csv_columns import COLUMNS, KNOWN
from finds.csv_read import Table, read_table
from web.tables.errors import TableError
from web.tables.rows import tidy
from web.tables.text import MAX_BYTES, MOST_ROWS

WORDS = "Schnalle “grün”, 5 £"


def read(data: bytes, **options: str) -> Table:
    return read_table(data, KNOWN, **options)


def file(separator: str = ",", end: str = "\r\n", *, cell: str = WORDS) -> str:
    quoted = '"' + cell.replace('"', '""') + '"'
    return f"hunt{separator}object{end}H1{separator}{quoted}{end}"


@pytest.mark.parametrize(
    ("encoded", "name", "sure"),
    [
        (file().encode(), "utf-8-sig", True),
        (file().encode("utf-8-sig"), "utf-8-sig", True),
        (file().encode("utf-16"), "utf-16", True),
        ("\ufeff".encode("utf-16-be") + file().encode("utf-16-be"), "utf-16", True),
        (file().encode("cp1252"), "cp1252", False),
    ],
)
def test_the_encoding_is_found_and_said(encoded: bytes, name: str, sure: bool) -> None:
    found = read(encoded)
    assert (found.encoding, found.sure) == (name, sure)
    assert found.rows[0].cells["object"] == WORDS
    assert found.samples() == [WORDS]


def test_an_answered_encoding_is_used() -> None:
    assert read(file(cell="žeton").encode("cp1250"), encoding="cp1250").rows[0].cells["object"] == "žeton"


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_separator_and_line_ends_are_found(separator: str, end: str) -> None:
    found = read(file(separator, end, cell=f"a{separator}b").encode())
    assert found.separator == separator
    assert found.rows[0].cells == {"hunt": "H1", "object": f"a{separator}b"}


def test_a_line_that_names_the_separator_is_passed_over() -> None:
    assert read(b"sep=;\r\nhunt;object\r\nH1;nail\r\n").rows[0].cells["object"] == "nail"


def test_a_cell_may_have_lines_and_quotes_and_rows_know_where_they_begin() -> None:
    found = read(b'hunt,object,description\nH1,nail,"one\ntwo ""three"""\nH1,stud,x\n')
    assert found.rows[0].cells["description"] == 'one\ntwo "three"'
    assert [row.line for row in found.rows] == [2, 4]


def test_empty_rows_and_columns_are_passed_over() -> None:
    found = read(b"hunt,object,,\n,,,\nH1,nail,,\n\n")
    assert [row.cells for row in found.rows] == [{"hunt": "H1", "object": "nail"}]


@pytest.mark.parametrize(
    ("written", "known"),
    [
        ("Weight (g)", "weight (g)"),
        (" OBJECT ", "object"),
        ("found_on", "found on"),
        ("Find number", "number"),
    ],
)
def test_column_names_are_read_kindly(written: str, known: str) -> None:
    assert KNOWN[tidy(written)] == known


def test_no_two_columns_go_by_one_name() -> None:
    spellings = [tidy(name) for column in COLUMNS for name in {column.name, *column.others}]
    assert sorted(spellings) == sorted(set(spellings))


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "The file is empty"),
        (b" \n\n", "The file is empty"),
        (b"x" * (MAX_BYTES + 1), "Send at most 10 MB"),
        (b"\xd0\xcf\x11\xe0old", "an old spreadsheet file"),
        (b"%PDF-1.7", "a PDF"),
        (file().encode("utf-16")[2:], "UTF-16 without its mark"),
        (b"hunt,object\nH1,na\x00il\n", "Line 2 holds a NUL"),
        (b"hunt,object\nH1,\x81\n", "Line 2 cannot be read as Windows-1252"),
        (b"hunt,objekt\nH1,nail\n", "No column is called “objekt” (do you mean “object”?)"),
        (b"hunt,object,shoe size\nH1,nail,9\n", "No column is called “shoe size”"),
        (b"hunt,object,Object Type\nH1,nail,x\n", "“object” is there twice"),
        (b"hunt,object\nH1,nail,extra\n", "Line 2 has 3 cells"),
        (b"hunt,object,\nH1,nail,extra\n", "under no column name"),
        (b'hunt,object\nH1,"nail\n', "begins on line 2"),
        (b'hunt,object\nH1,"na"il\n', "begins on line 2"),
        (b"hunt,object\nH1," + b"n" * 10_001, "10,001 letters"),
        (b"hunt,object\n" + b"H1,nail\n" * (MOST_ROWS + 1), "more than 3,000 rows"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_line(data: bytes, words: str) -> None:
    with pytest.raises(TableError) as error:
        read(data)
    assert words in str(error.value)


def test_as_many_rows_as_are_promised_are_taken() -> None:
    assert len(read(b"hunt,object\n" + b"H1,nail\n" * MOST_ROWS).rows) == MOST_ROWS


def test_an_unknown_encoding_is_refused() -> None:
    with pytest.raises(TableError, match="no encoding that is read here"):
        read(file().encode(), encoding="rot13")
