"""Seeded runs on the database of this test run: many writes, servers killed, disks full; then everything is audited.

Each run is a process of its own: `python -m tests.faults.run sqlite 0 30` plays seeds by hand and prints the same.
"""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.db import connection

ROOT = Path(__file__).resolve().parents[2]
BATCH, BATCHES = 25, 12
IN_BRIEF = range(2)
WITHIN_S = 1200
ENOUGH = 10
"""One errand in so many has to be acknowledged, or a run proves nothing. While a server starts again people give up,
and how long that takes says how busy the machine is: a calm one acknowledges most.
"""


def play(seeds: range, *more: str) -> dict[str, Any]:
    """What the runs came to. The process has none of this one's settings but the machine's own."""
    words = [
        sys.executable,
        "-m",
        "tests.faults.run",
        connection.vendor,
        str(seeds.start),
        str(seeds.stop),
        *more,
    ]
    env = {name: value for name, value in os.environ.items() if not name.startswith(("DJANGO_", "DATABASE_"))}
    done = subprocess.run(
        words, cwd=ROOT, env=env, capture_output=True, text=True, timeout=WITHIN_S, check=False
    )
    if done.returncode == 77:
        pytest.skip(done.stderr)
    assert done.stdout, done.stderr[-3000:]
    said: dict[str, Any] = json.loads(done.stdout)
    return said


def test_nothing_acknowledged_is_lost_and_nothing_is_there_twice_or_in_half() -> None:
    said = play(IN_BRIEF)
    assert said["wrong"] == []
    assert said["runs"] == len(IN_BRIEF)
    assert said["acknowledged"] > said["errands"] / ENOUGH
    assert sum(said["faults"].values()) >= len(IN_BRIEF)


@pytest.mark.long
@pytest.mark.parametrize("batch", range(BATCHES))
def test_nothing_acknowledged_is_lost_in_three_hundred_runs(batch: int) -> None:
    said = play(range(100 + batch * BATCH, 100 + (batch + 1) * BATCH))
    assert said["wrong"] == []
    assert said["runs"] == BATCH
    assert said["acknowledged"] > said["errands"] / ENOUGH


@pytest.mark.long
def test_a_limit_on_the_length_of_files_is_survived_as_well() -> None:
    """What the disk is for who may not mount one of memory."""
    said = play(range(90, 98), "--plain-disk")
    assert "RLIMIT" in said["disk"]
    assert said["wrong"] == []
