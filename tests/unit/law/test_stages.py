"""Slips in the file of stages are found: nothing from memory counts, no limit runs from nowhere."""

import pytest

from law.check import check_stages
from law.stages import STAGES_FILE

GOOD = """
[[course]]
id = "scotland"
title = "Claim"
places = ["scotland"]

[[course.stage]]
id = "a"
title = "A"
who = "Finder"
words = "First."
source = "Guidance"
checked = "secondary"

[[course.stage]]
id = "b"
title = "B"
who = "Museum"
words = "Second."
limit = { days = 7, after = "a", words = "7 days." }
source = "The Act"
checked = "read"
"""


def test_the_shipped_file_and_a_small_one_have_no_slip() -> None:
    assert check_stages() == []
    assert check_stages(GOOD) == []


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('checked = "read"', 'checked = "memory"', "from memory may not count days"),
        ('after = "a"', 'after = "b"', "no earlier stage"),
        ('after = "a"', 'after = "elsewhere"', "no earlier stage"),
        ("days = 7", "days = 0", "give one of them, more than 0"),
        ("days = 7", "days = -7", "give one of them, more than 0"),
        ("days = 7", "days = 7, months = 1", "give one of them, more than 0"),
        ("days = 7", 'days = "7"', "not a whole number"),
        ('checked = "read"', 'checked = "guess"', "write one of"),
        ('["scotland"]', '["atlantis"]', "there is no pack “atlantis”"),
        ('["scotland"]', "[]", "there is no pack"),
        ('places = ["scotland"]', 'places = ["scotland"]\nrules = ["ta-1"]', "has no ta-1"),
        ('id = "b"', 'id = "a"', "stands there twice"),
        ('title = "B"\n', "", "title is missing"),
        ('words = "Second."', 'words = "Second."\nday = 3', "day is not known here"),
        ("[[course]]", "[[courses]]", "write [[course]]"),
    ],
)
def test_a_slip_is_found_and_named(old: str, new: str, said: str) -> None:
    assert old in GOOD
    slips = check_stages(GOOD.replace(old, new))
    assert slips, "not found"
    assert any(said in str(slip) for slip in slips), [str(slip) for slip in slips]
    assert all(slip.path == STAGES_FILE for slip in slips)


def test_a_file_without_any_procedure_is_a_slip() -> None:
    assert [str(slip) for slip in check_stages("")] == ["stages.toml:1: holds no [[course]]."]
