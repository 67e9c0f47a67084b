"""Ask the package index which of the locked versions have known faults: `python3 dev.py advisories`, `make advisories`.

pip-audit does the asking, in an environment of its own under var/ (requirements-advisories.txt), so that nothing of it
comes near a club's server. Ends with 0 where nothing is known, 1 where something is, 2 where it could not be asked:
silence is not an all-clear.
"""

import json
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PLACE = ROOT / "var" / "advisories"
LOCKS = ("requirements.txt", "requirements-s3.txt")  # what a club runs; each with all that it brings
NOTHING, SOMETHING, UNKNOWN = 0, 1, 2


def installed() -> Path:
    """pip-audit in its own environment. Raises CalledProcessError where it cannot be installed."""
    python = PLACE / "bin" / "python"
    if not python.exists():
        subprocess.run([sys.executable, "-m", "venv", str(PLACE)], check=True)
    pip = [str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--require-hashes"]
    subprocess.run([*pip, "-r", str(ROOT / "requirements-advisories.txt")], check=True)
    return python


def ask(python: Path) -> str:
    """What pip-audit says as JSON; empty where it failed to ask. Its exit code does not tell that from a finding."""
    said = PLACE / "said.json"
    said.unlink(missing_ok=True)
    locks = [part for name in LOCKS for part in ("-r", str(ROOT / name))]
    options = ["--disable-pip", "--require-hashes", "--progress-spinner", "off", "--format", "json"]
    subprocess.run([str(python), "-m", "pip_audit", *options, "--output", str(said), *locks], check=False)
    return said.read_text(encoding="utf-8") if said.exists() else ""


def verdict(said: str) -> tuple[int, list[str]]:
    """The exit code and what to print, from pip-audit's JSON: {"dependencies": [{"name", "version", "vulns"}]}."""
    try:
        rows = json.loads(said)["dependencies"] if said.strip() else []
        found = [(row, fault) for row in rows for fault in row.get("vulns", ())]
        skipped = [f"{row['name']}: {row['skip_reason']}" for row in rows if "skip_reason" in row]
    except (ValueError, KeyError, TypeError, AttributeError):
        rows, found, skipped = [], [], []
    if len(rows) == len(skipped):
        return UNKNOWN, [
            "The index could not be asked. This is no all-clear: run it again where it can be reached."
        ]
    lines = [
        f"{row['name']} {row['version']}: {fault['id']}, mended in {', '.join(fault['fix_versions']) or 'no release'}"
        for row, fault in found
    ]
    lines += [f"Not asked about {each}" for each in skipped]
    if not lines:
        lines.append(f"Nothing is known against the {len(rows)} locked packages.")
    return (SOMETHING if found else UNKNOWN if skipped else NOTHING), lines


def main() -> int:
    try:
        said = ask(installed())
    except (subprocess.CalledProcessError, OSError) as error:
        print(f"pip-audit could not be run: {error}", file=sys.stderr)
        return UNKNOWN
    code, lines = verdict(said)
    print(os.linesep.join(lines))
    return code


if __name__ == "__main__":
    sys.exit(main())
