"""What docs/running.md and deploy/ say about running the program is what the program does."""

import ast
import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from django.core.management import get_commands
from django.urls import resolve

from config import credentials

pytestmark = pytest.mark.once
ROOT = Path(__file__).resolve().parents[2]
SETTINGS = (ROOT / "config" / "settings.py").read_text()
RUNNING = (ROOT / "docs" / "running.md").read_text()
DEPLOY = ROOT / "deploy"
UNITS = [unit for unit in sorted((DEPLOY / "systemd").glob("stubble-*.*")) if unit.is_file()]


def names_read() -> set[str]:
    """Every name that config/settings.py reads from the environment."""
    calls = (node for node in ast.walk(ast.parse(SETTINGS)) if isinstance(node, ast.Call))
    return {
        call.args[0].value
        for call in calls
        if ast.unparse(call.func).startswith("env.") and isinstance(call.args[0], ast.Constant)
    }


def test_the_table_of_settings_is_complete_and_holds_no_other() -> None:
    rows = re.findall(r"^\| \**`([A-Z0-9_]+)`\** \|", RUNNING, re.M)
    assert len(rows) == len(set(rows))
    assert set(rows) == names_read()


def test_the_example_of_settings_names_settings_and_every_one_that_has_to_be_set() -> None:
    example = {
        line.split("=")[0]
        for line in (DEPLOY / "club.env.example").read_text().splitlines()
        if line[:1].isupper()
    }
    assert example <= names_read()
    assert set(re.findall(r"^\| \*\*`([A-Z0-9_]+)`\*\* \|", RUNNING, re.M)) <= example


def test_every_command_that_is_told_is_there() -> None:
    told = set(
        re.findall(
            r"(?:manage\.py|deploy/stubble) ([a-z_]+)", RUNNING + "".join(u.read_text() for u in UNITS)
        )
    )
    assert told - get_commands().keys() == set()
    assert told >= {
        "backup",
        "first_secretary",
        "send_letters",
        "late_out",
        "remind",
        "tidy",
        "migrate",
        "check",
    }


def test_every_unit_is_told_and_every_timer_has_its_service() -> None:
    services = {unit.stem for unit in UNITS if unit.suffix == ".service"}
    assert set(re.findall(r"^\| `(stubble-[a-z]+)` \|", RUNNING, re.M)) == services
    assert {unit.stem for unit in UNITS if unit.suffix == ".timer"} < services


@pytest.mark.parametrize("path", ["/health/", "/health/ready/"])
def test_the_addresses_for_machines_are_there(path: str) -> None:
    assert path in RUNNING
    assert resolve(path).view_name in {"keeping:health", "keeping:ready"}


@pytest.mark.skipif(not shutil.which("systemd-analyze"), reason="no systemd here")
def test_systemd_understands_every_unit(tmp_path: Path) -> None:
    """With programs that are there in place of ours, which are where a club puts them."""
    for unit in UNITS:
        text = re.sub(r"/srv/stubble/\.venv/bin/\w+", "/bin/true", unit.read_text())
        (tmp_path / unit.name).write_text(text)
    drop_in = tmp_path / "stubble-.service.d"
    drop_in.mkdir()
    for each in (DEPLOY / "systemd" / "stubble-.service.d").glob("*.conf"):
        shutil.copy(each, drop_in)
    for unit in UNITS:
        done = subprocess.run(
            ["systemd-analyze", "verify", "--man=no", str(tmp_path / unit.name)],
            env={
                "SYSTEMD_UNIT_PATH": f"{tmp_path}:/usr/lib/systemd/system:/lib/systemd/system",
                "PATH": "/usr/bin:/bin",
            },
            capture_output=True,
            text=True,
            check=False,
        )
        ours = [line for line in done.stderr.splitlines() if "stubble" in line]
        assert ours == [], unit.name


@pytest.mark.skipif(not shutil.which("systemd-creds"), reason="no systemd here")
def test_a_secret_is_kept_sealed_under_the_name_that_the_units_open(tmp_path: Path) -> None:
    """systemd-creds(1): the name is sealed in, and another one does not open it. No key of this machine is made."""
    (prefix,) = re.findall(
        r"LoadCredentialEncrypted=(\w+):/etc/stubble/secrets",
        (DEPLOY / "systemd" / "stubble-.service.d" / "secrets.conf").read_text(),
    )
    assert f"{prefix}_" == credentials.PREFIX
    kept = tmp_path / "secrets"
    environment = os.environ | {"STUBBLE_SECRETS": str(kept), "STUBBLE_SEAL": "--with-key=tpm2-absent"}

    def secret(name: str) -> int:
        command = [str(DEPLOY / "secret"), name]
        return subprocess.run(
            command, input=b"a secret", env=environment, capture_output=True, check=False
        ).returncode

    assert (secret("EMAIL_URL"), secret("../EMAIL_URL"), secret("")) == (0, 2, 2)
    (file,) = kept.iterdir()
    assert (file.name, file.stat().st_mode & 0o077) == ("EMAIL_URL", 0)
    assert b"secret" not in file.read_bytes()
    opened = {
        name: subprocess.run(
            ["systemd-creds", "decrypt", f"--name={name}", str(file), "-"], capture_output=True, check=False
        ).stdout
        for name in ("stubble_EMAIL_URL", "stubble_DATABASE_URL")
    }
    assert opened == {"stubble_EMAIL_URL": b"a secret", "stubble_DATABASE_URL": b""}


def test_every_secret_can_be_read_from_a_file() -> None:
    """The settings that hold one are told of, and are read after config/credentials.py has looked."""
    told = set(re.findall(r"deploy/secret ([A-Z_]+)", RUNNING))
    assert {"DJANGO_SECRET_KEY", "EMAIL_URL"} <= told <= names_read()
    assert SETTINGS.index("handed_over(") < SETTINGS.index("env.str(")


CERTIFICATE = [
    "openssl",
    "req",
    "-x509",
    "-newkey",
    "ec",
    "-pkeyopt",
    "ec_paramgen_curve:prime256v1",
    "-nodes",
]


@pytest.mark.skipif(not shutil.which("nginx") or not shutil.which("openssl"), reason="no nginx here")
def test_nginx_takes_the_example(tmp_path: Path) -> None:
    key, certificate = tmp_path / "privkey.pem", tmp_path / "fullchain.pem"
    more = ["-subj", "/CN=club.example", "-keyout", str(key), "-out", str(certificate)]
    subprocess.run([*CERTIFICATE, *more], check=True, capture_output=True)
    text = (DEPLOY / "nginx.conf").read_text()
    text = text.replace("/etc/letsencrypt/live/club.example", str(tmp_path)).replace(
        "/var/log/nginx", str(tmp_path)
    )
    whole = f"pid {tmp_path}/pid;\nerror_log {tmp_path}/error.log;\nevents {{}}\nhttp {{\n{text}\n}}\n"
    (tmp_path / "nginx.conf").write_text(whole)
    done = subprocess.run(
        ["nginx", "-t", "-q", "-c", str(tmp_path / "nginx.conf")], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr


def test_the_proxys_log_holds_no_address_of_a_page() -> None:
    """The private pages' addresses hold keys: RFC 3986 path and query, and what carries them in nginx."""
    (format_,) = re.findall(r"log_format stubble ([^;]+);", (DEPLOY / "nginx.conf").read_text())
    assert (
        re.findall(r"\$(request|request_uri|uri|args|query_string|http_referer|document_uri)\b(?!_)", format_)
        == []
    )
    logs = re.findall(r"access_log (\S+) ?(\S*);", (DEPLOY / "nginx.conf").read_text())
    assert logs
    assert {kind for _, kind in logs} == {"stubble"}
