"""The test run of dev.py, with the standard library alone: on SQLite, and on a PostgreSQL of its own."""

import os
import shutil
import sys
import tempfile
from pathlib import Path
from xml.etree import ElementTree

from tools.installing import PYTHON, ROOT, DevError, beside, call, plain_environment, say

BROWSERS = (
    "chromium-headless-shell",
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
)
NO_SERVER = 77  # tests/run_with_pg.py's exit code where there is no PostgreSQL to start
NOTHING_COLLECTED = 5  # pytest's exit code when the arguments select no test
SQLITE, POSTGRES = "SQLite", "PostgreSQL"


def run_tests(arguments: list[str]) -> None:
    """Run the tests on both databases and say what ran; `arguments` go to pytest. Exits with 1 where any failed."""
    env, browser = test_environment()
    is_usual = not arguments and env.get("STUBBLE_EVERYTHING") != "1"
    at_once = is_usual and len(workers()) > 0
    with tempfile.TemporaryDirectory() as kept:
        results = {name: Path(kept) / f"{name}.xml" for name in (SQLITE, POSTGRES)}
        commands = {
            name: [*command, f"--junitxml={results[name]}"]
            for name, command in suites(arguments, is_usual=is_usual, at_once=at_once).items()
        }
        codes = both_at_once(commands, env) if at_once else one_by_one(commands, env)
        lines = []
        for name, code in codes.items():
            lines += [f"{name}: {outcome(code)}", *failures(results[name])]
    lines.append(f"Browser tests: with {browser}" if browser else f"Browser tests: SKIPPED, {no_browser()}")
    say("What ran\n   " + "\n   ".join(lines))
    sys.exit(1 if any(map(is_failure, codes.values())) else 0)


def suites(arguments: list[str], *, is_usual: bool, at_once: bool) -> dict[str, list[str]]:
    """The command of each database's run."""
    pytest = [str(PYTHON), "-m", "pytest"]
    spread = arguments or workers()
    # Pure tests touch no database, and those marked once look at pages alone: a whole run takes them once.
    pure = [] if arguments else ["--ignore=tests/unit", "--ignore=tests/sources"]
    pure += ["--ignore=tests/browser"] if is_usual else []
    first, second = (["-m", "not long"], ["-m", "not long and not once"]) if is_usual else ([], [])
    with_server = [str(PYTHON), str(ROOT / "tests" / "run_with_pg.py")]
    return {
        SQLITE: [*pytest, *spread, *first],
        POSTGRES: [*with_server, *pytest, *([] if at_once else spread), *pure, *second],
    }


def one_by_one(commands: dict[str, list[str]], env: dict[str, str]) -> dict[str, int]:
    codes = {}
    for name, command in commands.items():
        say(f"Tests on {name}")
        codes[name] = call(command, env)
    return codes


def both_at_once(commands: dict[str, list[str]], env: dict[str, str]) -> dict[str, int]:
    """PostgreSQL's run, a third of the other's work, fills the cores while a browser or a server is waited for.

    It is one process, and what it says is shown when the other is through.
    """
    say(f"Tests on {SQLITE}, with those on {POSTGRES} beside them")
    with tempfile.TemporaryFile() as said:
        with beside(commands[POSTGRES], env, said.fileno()) as other:
            codes = {SQLITE: call(commands[SQLITE], env), POSTGRES: other.wait()}
        say(f"Tests on {POSTGRES}")
        said.seek(0)
        print(said.read().decode(errors="replace"), flush=True)
    return codes


def workers() -> list[str]:
    """Both cores for a whole run, and one process for a chosen part.

    Each begins with a half of its own, so that what a file builds once is built once, and takes over from the other.
    """
    count = min(4, os.cpu_count() or 1)
    return ["-n", str(count), "--dist", "worksteal"] if count > 1 else []


def test_environment() -> tuple[dict[str, str], str | None]:
    env = plain_environment()
    # Each worker, each database and each server that a test starts would otherwise compile all modules anew.
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    browser = env.get("STUBBLE_CHROMIUM") or next(filter(None, map(shutil.which, BROWSERS)), None)
    if browser:
        env["STUBBLE_CHROMIUM"] = browser
    elif env.get("STUBBLE_REQUIRE_BROWSER") == "1":
        raise DevError(f"STUBBLE_REQUIRE_BROWSER is 1, but {no_browser()}")
    return env, browser


def no_browser() -> str:
    return (
        f"none of {', '.join(BROWSERS)} is on PATH. Install Chromium, or set STUBBLE_CHROMIUM to its program."
    )


def outcome(code: int) -> str:
    """What pytest's exit code means, in words."""
    words = {
        0: "passed",
        NOTHING_COLLECTED: "no test matched",
        NO_SERVER: "NOT RUN, no server programs were found",
    }
    return words.get(code, f"FAILED (exit code {code})")


def failures(results: Path) -> list[str]:
    """The failed tests of a run and the first line of why: whoever is shown the end of a long output sees them."""
    if not results.is_file():
        return []
    return [
        f"   {test.get('classname')}::{test.get('name')}: {why.get('message', '').partition(chr(10))[0]}"
        for test in ElementTree.parse(results).iter("testcase")  # noqa: S314 - pytest wrote it just now
        for why in [*test.iter("failure"), *test.iter("error")]
    ]


def is_failure(code: int) -> bool:
    forgiven = {0, NOTHING_COLLECTED}
    return code not in (
        forgiven if os.environ.get("STUBBLE_REQUIRE_POSTGRES") == "1" else forgiven | {NO_SERVER}
    )
