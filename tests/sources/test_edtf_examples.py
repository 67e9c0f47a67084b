"""Examples of the EDTF specification of the Library of Congress (4 February 2019) against the years of a record.

Source: https://www.loc.gov/standards/datetime/, as quoted in the documentation of the edtf crate (docs.rs/crate/edtf,
src/level_1/README.md), read November 2026; examples marked "memory" are from memory of the same page. The rule that
1 BC is year 0000 and 100 BC is -0099 is stated in that documentation too.
"""

import pytest

from finds.edtf_dates import EdtfError, EdtfYears, edtf_of, read_edtf

# text, first year, last year (historians' years), in doubt
EXAMPLES = [
    ("1985-04-12", 1985, 1985, False),  # level 0, complete date; memory
    ("1985-04", 1985, 1985, False),  # level 0; memory
    ("1985", 1985, 1985, False),  # level 0; memory
    ("1964/2008", 1964, 2008, False),  # level 0, interval
    ("2004-06/2006-08", 2004, 2006, False),  # level 0; memory
    ("2004-02-01/2005-02", 2004, 2005, False),  # level 0
    ("2005/2006-02", 2005, 2006, False),  # level 0; memory
    ("Y170000002", 170000002, 170000002, False),  # level 1, letter-prefixed calendar year
    ("Y-170000002", -170000003, -170000003, False),
    ("2001-21", 2001, 2001, False),  # level 1, spring 2001
    ("1984?", 1984, 1984, True),  # level 1, qualification of a date
    ("2004-06~", 2004, 2004, True),  # memory
    ("2004-06-11%", 2004, 2004, True),  # memory
    ("201X", 2010, 2019, False),  # level 1, unspecified digits from the right
    ("20XX", 2000, 2099, False),
    ("2004-XX", 2004, 2004, False),
    ("1985-04-XX", 1985, 1985, False),  # memory
    ("2004-XX-XX", 2004, 2004, False),
    ("1985-04/..", 1985, None, False),  # level 1, open end
    ("1985/..", 1985, None, False),  # memory
    ("../1985", None, 1985, False),  # memory
    ("1985-04-12/", 1985, None, False),  # level 1, unknown end; memory
    ("/1985", None, 1985, False),  # memory
    ("1984?/2004~", 1984, 2004, True),  # memory
    ("-1985", -1986, -1986, False),  # level 1, negative calendar year; the record has no year 0
    ("0000", -1, -1, False),  # "1BCE is year 0000 in EDTF"
    ("-0099", -100, -100, False),  # "100BCE is -0099 in EDTF"
    ("[1667,1668,1670..1672]", 1667, 1672, False),  # level 2, one of a set; memory
]


@pytest.mark.parametrize(("text", "first", "last", "in_doubt"), EXAMPLES, ids=[row[0] for row in EXAMPLES])
def test_an_example_of_the_standard_covers_its_years(
    text: str, first: int | None, last: int | None, in_doubt: bool
) -> None:
    assert read_edtf(text) == EdtfYears(first, last, in_doubt)


@pytest.mark.parametrize(
    "text",
    ["", "c1275", "1275-1300", "1300/1275", "2004-13", "2004-02-30", "2005-02-29", "1275 AD", "/", "../..", "XXXX",
     "1/2/3", "12"],
)  # fmt: skip
def test_what_is_no_edtf_date_is_named_with_what_to_write(text: str) -> None:
    with pytest.raises(EdtfError, match=r"1275|earlier date first") as error:
        read_edtf(text)
    assert f"“{text}”" in str(error.value)


# 44 BC is EDTF -0043: the Library of Congress rule above, applied to a year every coin list knows.
@pytest.mark.parametrize(
    ("first", "last", "text"),
    [
        (43, 410, "0043/0410"),
        (-44, -44, "-0043"),
        (-800, 43, "-0799/0043"),
        (-1, 1, "0000/0001"),
        (1275, 1275, "1275"),
        (None, 1275, "/1275"),
        (1901, None, "1901/"),
        (-1_000_000, -10_000, "Y-999999/-9999"),
        (-10_001, -9_000, "Y-10000/-8999"),
        (None, None, ""),
    ],
)
def test_years_of_a_record_are_written_in_edtf(first: int | None, last: int | None, text: str) -> None:
    assert edtf_of(first, last) == text


def test_29_february_is_a_day_of_leap_years_only() -> None:
    assert read_edtf("2004-02-29").first == 2004
    with pytest.raises(EdtfError):
        read_edtf("1900-02-29")
