"""One world for all attacks, inside a transaction that is taken back; a copy of it for each test."""

from collections.abc import Iterator
from copy import deepcopy
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from django.db import transaction

from geo.files.model import BOUNDARY_LIMITS, PLACE_LIMITS
from tests.attacks.ground import Ground, make_ground

HERE = Path(__file__).parent
ON_BOTH = {"test_questions.py", "test_inference.py", "test_json.py"}
"""Where the database reads what the attacker wrote; the rest is decided before it is asked."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if item.path.parent == HERE and item.path.name not in ON_BOTH:
            item.add_marker(pytest.mark.once)


@pytest.fixture(scope="package")
def standing(django_db_setup: None, django_db_blocker: Any) -> Iterator[Ground]:
    with django_db_blocker.unblock(), transaction.atomic():
        yield make_ground()
        transaction.set_rollback(True)


@pytest.fixture
def ground(standing: Ground, db: None) -> Ground:
    return replace(standing, world=deepcopy(standing.world))


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """Limits of 4 MB, so that the bombs may be small ones."""
    for name, limits in (("BOUNDARY_LIMITS", BOUNDARY_LIMITS), ("PLACE_LIMITS", PLACE_LIMITS)):
        monkeypatch.setattr(f"geo.files.read.{name}", replace(limits, unpacked_bytes=4_000_000))
