"""What pip-audit says about the locked packages becomes three codes; that nobody answered is no all-clear.

Source: pip-audit's documentation, “JSON output” (dependencies with name, version and vulns, or a skip_reason). The
identifiers below are made up.
"""

import json
from typing import Any

import pytest

from tools.advisories import LOCKS, NOTHING, ROOT, SOMETHING, UNKNOWN, verdict

pytestmark = pytest.mark.once
SOUND = {"name": "sand", "version": "1.0", "vulns": []}
FAULTY = {"name": "clay", "version": "2.0", "vulns": [{"id": "X-1", "fix_versions": ["2.1", "3.0"]}]}
UNMENDED = {"name": "silt", "version": "0.1", "vulns": [{"id": "X-2", "fix_versions": []}]}
UNASKED = {"name": "loam", "skip_reason": "not found"}


def told(*rows: Any) -> tuple[int, str]:
    code, lines = verdict(json.dumps({"dependencies": rows, "fixes": []}))
    return code, "\n".join(lines)


def test_nothing_is_known() -> None:
    assert told(SOUND) == (NOTHING, "Nothing is known against the 1 locked packages.")


def test_what_is_known_is_named_with_what_mends_it() -> None:
    words = "clay 2.0: X-1, mended in 2.1, 3.0\nsilt 0.1: X-2, mended in no release\nNot asked about loam: not found"
    assert told(SOUND, FAULTY, UNMENDED, UNASKED) == (SOMETHING, words)


def test_one_that_was_not_asked_about_is_no_all_clear() -> None:
    assert told(SOUND, UNASKED) == (UNKNOWN, "Not asked about loam: not found")


@pytest.mark.parametrize("said", ["", "{}", "[]", "no JSON", '{"dependencies": []}', '{"dependencies": [1]}'])
def test_silence_and_nonsense_are_no_all_clear(said: str) -> None:
    code, lines = verdict(said)
    assert code == UNKNOWN
    assert "no all-clear" in lines[0]
    assert told(UNASKED) == (UNKNOWN, lines[0])


def test_every_lock_that_a_club_installs_is_asked_about() -> None:
    others = {"requirements-dev.txt", "requirements-advisories.txt"}
    assert {path.name for path in ROOT.glob("requirements*.txt")} == {*LOCKS, *others}
