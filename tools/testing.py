"""The test run of dev.py, with the standard library alone: on SQLite, then on a PostgreSQL of its own."""

import os
import shutil
import sys
import tempfile
from pathlib import Path
from xml.etree import ElementTree

from tools.installing import PYTHON, ROOT, DevError, call, plain_environment, say

BROWSERS = (
    "chromium-headless-shell",
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
)
NO_SERVER = 77  # tests/run_with_pg.py's exit code where there is no PostgreSQL to start
NOTHING_COLLECTED = 5  # pytest's exit code when the arguments select no test


def run_tests(arguments: list[str]) -> None:
    """Run the tests on both databases and say what ran; `arguments` go to pytest. Exits with 1 where any failed."""
    env, browser = test_environment()
    pytest = [str(PYTHON), "-m", "pytest", *(arguments or workers())]
    # Pure tests touch no database, and those marked once look at pages alone: a whole run takes them once.
    pure = [] if arguments else ["--ignore=tests/unit", "--ignore=tests/sources"]
    shorter = not arguments and env.get("STUBBLE_EVERYTHING") != "1"
    pure += ["--ignore=tests/browser"] if shorter else []
    first, second = (["-m", "not long"], ["-m", "not long and not once"]) if shorter else ([], [])
    with_server = [str(PYTHON), str(ROOT / "tests" / "run_with_pg.py")]
    codes, lines = [], []
    for name, command in (
        ("SQLite", [*pytest, *first]),
        ("PostgreSQL", [*with_server, *pytest, *pure, *second]),
    ):
        say(f"Tests on {name}")
        with tempfile.TemporaryDirectory() as kept:
            results = Path(kept) / "results.xml"
            codes.append(call([*command, f"--junitxml={results}"], env))
            lines += [f"{name}: {outcome(codes[-1])}", *failures(results)]
    lines.append(f"Browser tests: with {browser}" if browser else f"Browser tests: SKIPPED, {no_browser()}")
    say("What ran\n   " + "\n   ".join(lines))
    sys.exit(1 if any(map(is_failure, codes)) else 0)


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
