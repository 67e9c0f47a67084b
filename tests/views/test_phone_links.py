"""A phone field becomes a number that a phone can dial."""

import pytest

from web.templatetags.stubble import dialled


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("999 or 101", "999"),
        ("01632 960000", "01632960000"),
        ("+44 (1632) 960-000", "+441632960000"),
        ("(01632) 960 000", "01632960000"),
        ("ask at the yard", ""),
        # RFC 3966 section 6, the example of a global number with visual separators.
        ("+1-201-555-0123", "+12015550123"),
    ],
)
def test_the_first_number_is_dialled(typed: str, number: str) -> None:
    assert dialled(typed) == number
