"""Years in words; there is no year 0 (historians' reckoning)."""

import pytest

from finds.dates import range_words


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (-1150, -800, "1150 to 800 BC"),
        (-50, 43, "50 BC to AD 43"),
        (330, 348, "AD 330 to AD 348"),
        (1580, 1640, "1580 to 1640"),
        (1672, 1672, "1672"),
        (1205, None, "from 1205"),
        (None, 1066, "until 1066"),
        (None, None, ""),
    ],
)
def test_range_words(first: int | None, last: int | None, words: str) -> None:
    assert range_words(first, last) == words
