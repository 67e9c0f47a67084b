"""One phone for all tests of a run."""

from collections.abc import Iterator

import pytest

from tests.unit.field.phone import Phone


@pytest.fixture(scope="session")
def phone() -> Iterator[Phone]:
    made = Phone()
    yield made
    made.close()
