"""A password made of the club's own words is refused; one that has more is not."""

import pytest
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from people.password_words import LocalWordsValidator
from tests import make

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    "password", ["Ravensand2026", "detectingclub1", "search-Ravensand-club", "treasuregold!!!"]
)
def test_the_clubs_own_words_are_not_enough(password: str) -> None:
    make.club(name="Ravensand & District Search Club")
    with pytest.raises(ValidationError, match="tried first at a club like this"):
        LocalWordsValidator().validate(password)
    with pytest.raises(ValidationError):
        validate_password(password)


@pytest.mark.parametrize(
    "password", ["low-water-springs", "ravensand oystercatcher", "correct horse battery"]
)
def test_more_than_that_will_do(password: str) -> None:
    make.club(name="Ravensand & District Search Club")
    validate_password(password)


def test_without_a_club_yet_the_trades_words_count() -> None:
    with pytest.raises(ValidationError, match="“detecting”"):
        LocalWordsValidator().validate("detecting1234")
