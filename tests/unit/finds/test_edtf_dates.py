"""Whatever years a record holds come back out of the EDTF date that is shown for them."""

from hypothesis import given
from hypothesis import strategies as st

from finds.edtf_dates import EdtfError, edtf_of, is_in_doubt, read_edtf

YEAR = st.one_of(st.integers(-2_000_000, -1), st.integers(1, 9999))


@given(st.one_of(st.none(), YEAR), st.one_of(st.none(), YEAR), st.booleans())
def test_years_survive_the_way_there_and_back(first: int | None, last: int | None, uncertain: bool) -> None:
    if first is not None and last is not None and last < first:
        first, last = last, first
    text = edtf_of(first, last, uncertain=uncertain)
    if first is None and last is None:
        assert text == ""
        return
    read = read_edtf(text)
    assert (read.first, read.last) == (first, last)
    assert read.in_doubt == is_in_doubt(text)
    if uncertain and max(abs(year) for year in (first, last) if year is not None) < 9999:
        assert read.in_doubt


@given(st.text(max_size=70))
def test_a_text_is_read_or_named(text: str) -> None:
    said = ""
    try:
        read = read_edtf(text)
    except EdtfError as error:
        said = str(error)
    assert text in said if said else (read.first, read.last) != (None, None)


@given(st.text("0123456789X-/.?~%Y[],{}E", max_size=24))
def test_nothing_made_of_its_letters_brings_the_reader_down(text: str) -> None:
    try:
        read = read_edtf(text)
    except EdtfError:
        return
    assert 0 not in (read.first, read.last)
