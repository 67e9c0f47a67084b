#!/usr/bin/env python3
"""Set up and run this project with Python's standard library alone: `dev.py demo`, `dev.py test`.

What was installed or built is stamped with a digest of what it came from, so a second run changes nothing and
needs no network.
"""

import os
import secrets
import signal
import socket
import subprocess
import sys
from typing import NoReturn

from tools.installing import (
    PYTHON,
    ROOT,
    DevError,
    build_map,
    call,
    install,
    meanwhile,
    plain_environment,
    run,
    say,
)
from tools.testing import run_tests

VAR = ROOT / "var"
OLDEST_PYTHON = (3, 11)


def demo(arguments: list[str]) -> None:
    """Serve the demo club on this machine until interrupted. `arguments`: a port to begin looking at (8000)."""
    first = first_port("demo", arguments)
    install("requirements.txt", compiled=False)
    env = demo_environment()
    manage = [PYTHON, ROOT / "manage.py"]
    with meanwhile(build_map):  # only the server needs the map
        say("Preparing the demo club in var/ (delete that folder to begin anew)")
        # The invented people's letters go nowhere, and not over this screen either.
        run(*manage, "seed_demo", "--migrate", "--if-empty", env=env | {"EMAIL_URL": "dummymail://"})
    port = free_port(first)
    say(f"Open http://127.0.0.1:{port}/ and sign in as one of these; stop with Ctrl-C")
    run(*manage, "demo_people", "--base", f"http://127.0.0.1:{port}", env=env)
    serve(port, env)


def start(arguments: list[str]) -> None:
    """Serve a club of one's own on this machine, empty at first; prints where it is set up. `arguments`: a port."""
    first = first_port("start", arguments)
    install("requirements.txt", compiled=False)
    build_map()
    port = free_port(first)
    site = f"http://127.0.0.1:{port}"
    env = demo_environment() | own_club() | {"PUBLIC_URL": site}
    manage = [PYTHON, ROOT / "manage.py"]
    say("Preparing a club of your own in var/own (delete that folder to begin anew)")
    run(*manage, "migrate", "--noinput", "--verbosity", "0", env=env)
    run(*manage, "set_up_link", "--if-fresh", env=env)
    say(f"Open {site}/; letters appear on this screen; stop with Ctrl-C")
    serve(port, env)


def first_port(command: str, arguments: list[str]) -> int:
    """The port to begin looking at: the one given, or 8000."""
    if arguments and not arguments[0].isdecimal():
        raise DevError(
            f"{arguments[0]} is not a port. Give a number, for example: python3 dev.py {command} 9000"
        )
    return int(arguments[0]) if arguments else 8000


def serve(port: int, env: dict[str, str]) -> NoReturn:
    """Become the server, so that Ctrl-C and signals reach it and nothing stands between."""
    words = [str(PYTHON), str(ROOT / "manage.py"), "runserver", "--noreload", f"127.0.0.1:{port}"]
    os.chdir(ROOT)
    os.execve(words[0], words, env)


def tour(arguments: list[str]) -> None:
    """Take the pictures of the README's tour anew, from a demo of its own that ends with it."""
    prepare([])
    port = free_port(8700)
    folder = VAR / "tour"
    folder.mkdir(parents=True, exist_ok=True)
    places = {"DATABASE_URL": f"sqlite:///{folder / 'club.sqlite3'}", "MEDIA_ROOT": str(folder / "private")}
    env = demo_environment() | places | {"EMAIL_URL": "dummymail://"}
    manage = [str(PYTHON), str(ROOT / "manage.py")]
    run(*manage, "seed_demo", "--migrate", "--if-empty", env=env)
    with subprocess.Popen(
        [*manage, "runserver", "--noreload", f"127.0.0.1:{port}"], cwd=ROOT, env=env
    ) as server:
        try:
            site = f"http://127.0.0.1:{port}"
            run(PYTHON, "-m", "tools.tour", site, ROOT / "docs" / "tour", env=env)
        finally:
            server.terminate()


def own_club() -> dict[str, str]:
    """Where the club that `start` serves keeps its records, apart from the demo's."""
    folder = VAR / "own"
    folder.mkdir(parents=True, exist_ok=True)
    return {"DATABASE_URL": f"sqlite:///{folder / 'club.sqlite3'}", "MEDIA_ROOT": str(folder / "private")}


def demo_environment() -> dict[str, str]:
    """The demo's own settings, the same on every machine."""
    return plain_environment() | {
        "DJANGO_DEBUG": "1",
        "DJANGO_SECRET_KEY": secret(),
        "PYTHONUNBUFFERED": "1",
        "SECOND_FACTOR_REQUIRED": "0",  # the invented people sign in by the password that is printed
    }


def secret() -> str:
    """A key of this machine's own, kept so that a restart signs nobody out."""
    VAR.mkdir(exist_ok=True)
    path = VAR / "secret"
    if not path.exists():
        with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT, 0o600), "w", encoding="ascii") as file:
            file.write(secrets.token_urlsafe(64))
    return path.read_text(encoding="ascii")


def free_port(first: int) -> int:
    for port in range(first, first + 50):
        with socket.socket() as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port
    raise DevError(f"Ports {first} to {first + 49} are all in use. Give another: python3 dev.py demo 9000")


def install_for_use(arguments: list[str]) -> None:
    """Install and build what a club's own server needs; docs/running.md says what comes after it."""
    install("requirements.txt")
    build_map()


def prepare(arguments: list[str]) -> None:
    """Install and build what the tests and the checks of the source need, and stop there."""
    install("requirements-dev.txt", compiled=False)
    build_map()


def test(arguments: list[str]) -> None:
    """Run the tests on SQLite and on a PostgreSQL of their own, and say what ran. `arguments` go to pytest."""
    prepare([])
    run_tests(arguments)


def advisories(arguments: list[str]) -> None:
    """Ask the package index what is known against the locked versions; tools/advisories.py says what the codes mean."""
    sys.exit(call([sys.executable, str(ROOT / "tools" / "advisories.py")], plain_environment()))


def main(arguments: list[str]) -> None:
    if sys.version_info < OLDEST_PYTHON:
        raise DevError(f"This is Python {sys.version.split()[0]}; the project needs 3.11 or newer.")
    commands = {
        "demo": demo,
        "start": start,
        "tour": tour,
        "test": test,
        "prepare": prepare,
        "install": install_for_use,
        "advisories": advisories,
    }
    if not arguments or arguments[0] not in commands:
        raise DevError(
            "Say what to do: python3 dev.py demo [PORT], python3 dev.py start [PORT] (a club of your own, empty at "
            "first), or python3 dev.py test [PYTEST ARGUMENTS]"
        )
    commands[arguments[0]](arguments[1:])


if __name__ == "__main__":
    signal.signal(signal.SIGTERM, lambda number, frame: sys.exit(128 + number))
    try:
        main(sys.argv[1:])
    except DevError as error:
        sys.exit(f"\n{error}")
    except KeyboardInterrupt:
        sys.exit(130)
