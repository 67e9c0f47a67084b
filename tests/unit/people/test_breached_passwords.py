"""Passwords out of breaches, looked up in files.

Source for the examples: NIST SP 800-63B, 5.1.1.2 asks for such a list; the passwords are among the 20,000 most common
of the set “Pwned Passwords”, which Django ships (common-passwords.txt.gz): a list of another origin than ours.
"""

import gzip
import tracemalloc
from pathlib import Path

import pytest
from django.contrib.auth import password_validation
from django.core.exceptions import ValidationError

from people.breached_passwords import BreachedPasswordValidator

pytestmark = pytest.mark.once
DJANGO = Path(password_validation.__file__).parent / "common-passwords.txt.gz"


def is_refused(password: str) -> bool:
    try:
        BreachedPasswordValidator().validate(password)
    except ValidationError as error:
        return error.code == "password_breached"
    return False


def test_of_the_common_ones_that_are_long_enough_most_are_known() -> None:
    """Two lists of different origin: what the one calls common the other met in breaches."""
    with gzip.open(DJANGO, "rt", encoding="utf-8") as file:
        long = [line.strip() for line in file if len(line.strip()) >= 12]
    assert len(long) > 150
    assert sum(map(is_refused, long)) / len(long) > 0.8


@pytest.mark.parametrize(
    "password", ["1q2w3e4r5t6y", "qwerty123456", "QWERTY123456", "1qaz2wsx3edc", "123456789012"]
)
def test_a_known_one_is_refused_whatever_its_capitals(password: str) -> None:
    assert is_refused(password)


@pytest.mark.parametrize(
    "password", ["low-water-springs", "plover over the saltmarsh", "short", "", "x" * 4000, "ð" * 12]
)
def test_others_go_through(password: str) -> None:
    """Also those that are too short, which another rule refuses, and those of letters that no list has."""
    assert not is_refused(password)


def test_the_lists_are_not_read_into_memory() -> None:
    is_refused("qwerty123456")
    tracemalloc.start()
    try:
        for number in range(40):
            is_refused(f"qwerty123456{number}")
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert peak < 1_000_000


def test_the_settings_ask_it_of_every_password() -> None:
    asked = password_validation.get_default_password_validators()
    assert [type(each) for each in asked].count(BreachedPasswordValidator) == 1
