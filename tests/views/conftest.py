"""Which tests of pages a whole run takes on both databases.

The matrix opens every page on both and reads it for a locked place, and the maps, whose questions are the most of a
database's own, and Today are tried on both; what else a page says rests on querysets and actions that tests/actions
(tables of finds: test_find_imports.py) and tests/models try on both.
"""

from pathlib import Path

import pytest

HERE = Path(__file__).parent
ON_BOTH = {
    "test_access.py",
    "test_locked_findspot.py",
    "test_finds_map.py",
    "test_finds_patterns.py",
    "test_today.py",
}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if item.path.parent == HERE and item.path.name not in ON_BOTH:
            item.add_marker(pytest.mark.once)
