"""The run of all tests on both databases: side by side, all of it shown, and a failure in either is a failure."""

import sys
from pathlib import Path
from typing import Any

import pytest

from tools import testing
from tools.installing import plain_environment

pytestmark = pytest.mark.once
# Each says a word and waits for the other's: one after the other, neither would ever end well.
MEET = """
import sys, time
from pathlib import Path
mine, others, code = Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3])
mine.touch()
end = time.monotonic() + 120
while not others.exists() and time.monotonic() < end:
    time.sleep(0.02)
print(mine.name, "met" if others.exists() else "waited in vain", flush=True)
sys.exit(code)
"""


def commands(folder: Path, codes: tuple[int, int] = (0, 0)) -> dict[str, list[str]]:
    here, there = str(folder / "here"), str(folder / "there")
    return {
        testing.SQLITE: [sys.executable, "-c", MEET, here, there, str(codes[0])],
        testing.POSTGRES: [sys.executable, "-c", MEET, there, here, str(codes[1])],
    }


def test_both_run_at_once_and_each_is_shown_whole(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    codes = testing.both_at_once(commands(tmp_path, (0, 3)), plain_environment())
    assert codes == {testing.SQLITE: 0, testing.POSTGRES: 3}
    said = capfd.readouterr().out
    assert said.index("here met") < said.index("== Tests on PostgreSQL") < said.index("there met")


@pytest.mark.parametrize(
    ("codes", "ends"),
    [
        ((0, 0), 0),
        ((1, 0), 1),
        ((0, 1), 1),
        ((0, testing.NO_SERVER), 0),
        ((testing.NOTHING_COLLECTED, 0), 0),
        ((0, 2), 1),
    ],
)
def test_a_failure_on_either_is_a_failure(
    codes: tuple[int, int], ends: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    names = (testing.SQLITE, testing.POSTGRES)
    monkeypatch.delenv("STUBBLE_REQUIRE_POSTGRES", raising=False)
    monkeypatch.setattr(testing, "test_environment", lambda: ({}, None))
    monkeypatch.setattr(testing, "both_at_once", lambda *_: dict(zip(names, codes, strict=True)))
    monkeypatch.setattr(testing, "workers", lambda: ["-n", "2"])
    with pytest.raises(SystemExit) as end:
        testing.run_tests([])
    assert end.value.code == ends


def chosen(
    monkeypatch: pytest.MonkeyPatch, arguments: list[str], env: dict[str, str]
) -> dict[str, list[str]]:
    """The commands of a run, by the name of the way they are run in."""
    seen: dict[str, Any] = {}
    for way in ("both_at_once", "one_by_one"):
        monkeypatch.setattr(
            testing, way, lambda commands, env, way=way: seen.setdefault(way, commands) and {}
        )
    monkeypatch.setattr(testing, "test_environment", lambda: (env, None))
    monkeypatch.setattr(testing, "workers", lambda: ["-n", "2"])
    with pytest.raises(SystemExit):
        testing.run_tests(arguments)
    return seen


def test_a_chosen_part_and_a_run_of_everything_go_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    usual = chosen(monkeypatch, [], {})["both_at_once"]
    assert "not long" in usual[testing.SQLITE]
    assert "not long and not once" in usual[testing.POSTGRES]
    whole = chosen(monkeypatch, [], {"STUBBLE_EVERYTHING": "1"})["one_by_one"]
    part = chosen(monkeypatch, ["tests/house"], {})["one_by_one"]
    for command in (*whole.values(), *part.values()):
        assert not [word for word in command if "long" in word or word == "--ignore=tests/browser"]
    assert "tests/house" in part[testing.POSTGRES]


def test_what_failed_is_named_at_the_end(tmp_path: Path) -> None:
    written = tmp_path / "results.xml"
    assert testing.failures(written) == []
    (tmp_path / "test_sample.py").write_text(
        "import pytest\ndef test_good(): pass\ndef test_bad(): assert 1 == 2, 'a wrong sum'\n"
        "@pytest.fixture\ndef broken(): raise ValueError('no ground')\ndef test_worse(broken): pass\n"
    )
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:django"]
    code = testing.call(
        [*command, f"--rootdir={tmp_path}", "-c", "/dev/null", str(tmp_path), f"--junitxml={written}"],
        plain_environment(),
    )
    assert testing.outcome(code) == "FAILED (exit code 1)"
    assert [line.partition(": ")[0].strip().partition("::")[2] for line in testing.failures(written)] == [
        "test_bad",
        "test_worse",
    ]
    assert "a wrong sum" in testing.failures(written)[0]
    assert "no ground" in testing.failures(written)[1]
