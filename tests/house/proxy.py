"""nginx with the settings that we ship, in front of gunicorn with the settings that we ship, for one test module."""

import contextlib
import getpass
import os
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
IS_HERE = bool(shutil.which("nginx") and shutil.which("openssl"))
KEY = ["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes"]
SAID = "said"
# Answers everything, and writes down each request that it was given.
APP = """
def application(environ, start):
    body = environ["wsgi.input"].read()
    with open({said!r}, "a") as file:
        file.write(f"{{environ['REQUEST_METHOD']}} {{environ['PATH_INFO']}} {{len(body)}}\\n")
    start("200 OK", [("Content-Type", "text/plain"), ("Content-Length", "2")])
    return [b"ok"]
"""
# What a club would have that took no care: the checks must see it.
CARELESS = """
server {{
    listen 127.0.0.1:{careless} ssl;
    ssl_certificate {folder}/fullchain.pem;
    ssl_certificate_key {folder}/privkey.pem;
    ssl_protocols TLSv1.1 TLSv1.2;
    ssl_ciphers ALL:@SECLEVEL=0;
}}
"""


@dataclass(frozen=True)
class Stage:
    """The ports of the proxy (open and closed), of the site behind it, and of a proxy that took no care."""

    folder: Path
    plain: int
    closed: int
    site: int
    careless: int

    @property
    def certificate(self) -> str:
        return str(self.folder / "fullchain.pem")

    def said(self) -> list[str]:
        """The requests that the site was given, in order."""
        file = self.folder / SAID
        return file.read_text().splitlines() if file.exists() else []


def free_ports(count: int) -> list[int]:
    with contextlib.ExitStack() as open_:
        sockets = [open_.enter_context(socket.socket()) for _ in range(count)]
        for each in sockets:
            each.bind(("127.0.0.1", 0))
        return [each.getsockname()[1] for each in sockets]


def configuration(stage: Stage) -> str:
    """deploy/nginx.conf with nothing changed but names of this machine: ports, and folders for keys and logs."""
    text = (ROOT / "deploy" / "nginx.conf").read_text()
    text = re.sub(r"^ *listen \[::\].*\n", "", text, flags=re.M)
    for old, new in (
        ("listen 80;", f"listen 127.0.0.1:{stage.plain};"),
        ("listen 443 ", f"listen 127.0.0.1:{stage.closed} "),
        ("127.0.0.1:8000", f"127.0.0.1:{stage.site}"),
        ("/etc/letsencrypt/live/club.example", str(stage.folder)),
        ("/var/log/nginx", str(stage.folder)),
        ("/srv/stubble/deploy", f'"{ROOT / "deploy"}"'),
    ):
        assert old in text
        text = text.replace(old, new)
    careless = CARELESS.format(careless=stage.careless, folder=stage.folder)
    kinds = ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    folders = "".join(f"{kind}_temp_path {stage.folder}/{kind};\n" for kind in kinds)
    user = f"user {getpass.getuser()};\n" if os.geteuid() == 0 else ""  # who may look into these folders
    head = f"{user}daemon off;\npid {stage.folder}/pid;\nerror_log {stage.folder}/error.log;\nevents {{}}\n"
    return f"{head}http {{\n{folders}{text}\n{careless}}}\n"


def wait_for(*ports: int, until: float = 30) -> None:
    end = time.monotonic() + until
    for port in ports:
        while True:
            with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=1):
                break
            assert time.monotonic() < end, f"nobody listens on {port}"
            time.sleep(0.05)


@contextlib.contextmanager
def staged(folder: Path, *, with_site: bool = True) -> Iterator[Stage]:
    """Both servers while the block runs, or the proxy alone."""
    stage = Stage(folder, *free_ports(4))
    names = ["-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost,DNS:club.example"]
    files = ["-keyout", str(folder / "privkey.pem"), "-out", stage.certificate]
    subprocess.run([*KEY, *names, *files], check=True, capture_output=True)
    (folder / "nginx.conf").write_text(configuration(stage))
    (folder / "club_site.py").write_text(APP.format(said=str(folder / SAID)))
    settings = ["-c", str(ROOT / "gunicorn.conf.py"), "--workers", "1", "--bind", f"127.0.0.1:{stage.site}"]
    site = [sys.executable, "-m", "gunicorn", "club_site:application", *settings, "--chdir", str(folder)]
    proxy = ["nginx", "-c", str(folder / "nginx.conf"), "-p", str(folder)]
    commands = [site, proxy] if with_site else [proxy]
    with contextlib.ExitStack() as open_, (folder / "output").open("w") as output:
        for command in commands:
            process = open_.enter_context(subprocess.Popen(command, cwd=folder, stdout=output, stderr=output))
            open_.callback(process.terminate)
        wait_for(*[stage.site] * with_site, stage.plain, stage.closed, stage.careless)
        yield stage
