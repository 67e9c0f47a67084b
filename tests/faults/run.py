"""Run as a program: play seeds against one server on SQLite or PostgreSQL, and print what became of them, as JSON.

`python -m tests.faults.run sqlite 0 30` plays the seeds 0 to 29; it ends with 1 where anything is wrong.
"""

import json
import os
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

NO_SERVER = 77


@contextmanager
def place(vendor: str, *, workers: int = 3, plain_disk: bool = False) -> Iterator[tuple[Path, Any]]:
    """A folder of the tests' own, and the weather over a server that runs on a disk that can be full."""
    from tests.faults import database, disk
    from tests.faults.server import Server
    from tests.faults.strikes import Weather

    with tempfile.TemporaryDirectory(prefix="faults-") as name:
        folder = Path(name)
        folder.chmod(0o711)  # PostgreSQL's own user walks through
        there = folder / "disk"
        there.mkdir()
        server = Server(folder, workers)
        small = not plain_disk and disk.may_mount(there)
        held = disk.SmallDisk(there) if small else disk.ShortFiles(server.worker_ids)
        kept: Any = None
        try:
            kept = database.make(vendor, there)
            tell(folder, there)
            weather = Weather(server, kept, held, folder / "clock")
            fill_tables()
            server.start()
            yield folder, weather
        finally:
            held.free()
            server.kill()
            if kept is not None:
                kept.away()
            held.end()


def tell(folder: Path, there: Path, settings: str = "tests.faults.settings") -> None:
    """What the server is told, and this process with it, which looks at the same database with Django's eyes."""
    (there / "private").mkdir()
    (folder / "mail").mkdir()
    (folder / "clock").write_text("0")
    told = {
        "DJANGO_SETTINGS_MODULE": settings,
        "DJANGO_SECRET_KEY": "a-throw-away-key-for-a-server-of-the-tests-alone-0123456789abcdef",
        "MEDIA_ROOT": str(there / "private"),
        "FAULTS_MAIL": str(folder / "mail"),
        "FAULTS_CLOCK": str(folder / "clock"),
        "LOG_LEVEL": "WARNING",
    }
    os.environ.update(told)
    import django

    django.setup()


def fill_tables() -> None:
    from django.core.management import call_command

    from tests.browser.server_world import guard_ledgers

    call_command("migrate", run_syncdb=True, verbosity=0)
    guard_ledgers()


def play(vendor: str, seeds: range, *, plain_disk: bool = False) -> dict[str, Any]:
    """What became of these seeds: counts, the writes by kind, the faults by kind, and what is wrong."""
    began = time.monotonic()
    with place(vendor, plain_disk=plain_disk) as (folder, weather):
        from django.utils.timezone import now

        from tests.faults.audit import after_tidying, strays
        from tests.faults.stage import cast
        from tests.faults.storm import run
        from tests.faults.wire import Wire

        wire, people = Wire(weather.server.port, weather.may_fail), cast()
        runs = [run(seed, people, weather, wire, folder) for seed in seeds]
        left = len(strays())
        wrong = [
            f"seed {each.seed} ({', '.join(each.faults)}): {words}"
            for each in runs
            for words in each.problems
        ]
        wrong += [f"after all: {words}" for words in after_tidying(now())]
        kinds, taken = (
            sum((each.kinds for each in runs), Counter()),
            sum((each.acknowledged for each in runs), Counter()),
        )
        said = {
            "database": vendor, "disk": weather.disk.words, "runs": len(runs), "errands": kinds.total(),
            "acknowledged": taken.total(), "by kind": {kind: [n, taken[kind]] for kind, n in sorted(kinds.items())},
            "faults": dict(weather.counts), "wire": dict(wire.counts), "strays before tidying": left,
            "seconds": round(time.monotonic() - began, 1), "slowest run": round(max(each.seconds for each in runs), 1),
            "wrong": wrong,
        }  # fmt: skip
        if wrong and (keep := os.environ.get("FAULTS_KEEP_LOG")):
            Path(keep).write_text(weather.server.log.read_text())
        return said


def main(words: list[str]) -> int:
    signal.signal(signal.SIGTERM, lambda number, frame: sys.exit(128 + number))
    vendor, first, after = words[0], int(words[1]), int(words[2])
    if after <= first:
        sys.exit(
            f"There is no seed from {first} to before {after}; give the first seed and the one after the last."
        )
    try:
        said = play(vendor, range(first, after), plain_disk="--plain-disk" in words)
    except LookupError as error:
        print(error, file=sys.stderr)
        return NO_SERVER
    json.dump(said, sys.stdout, indent=1)
    return 1 if said["wrong"] else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
