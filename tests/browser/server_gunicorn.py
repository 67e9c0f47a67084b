"""How gunicorn runs for the tests: everything imported before the workers part, and each worker's number in a file."""

import os
from pathlib import Path
from typing import Any

wsgi_app = "config.wsgi"
preload_app = True
workers = 2
threads = 2
graceful_timeout = 1
control_socket_disable = True


def when_ready(server: Any) -> None:
    from django.urls import get_resolver

    assert get_resolver().url_patterns  # imports every view, so that a new worker answers at once


def post_fork(server: Any, worker: Any) -> None:
    (Path(os.environ["STORM_WORKERS"]) / str(os.getpid())).touch()
