"""The WSGI entry point that gunicorn loads."""

import os

from django.core.checks import CheckMessage, run_checks
from django.core.exceptions import ImproperlyConfigured
from django.core.wsgi import get_wsgi_application
from django.urls import get_resolver

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
application = get_wsgi_application()


def refuse(faults: list[CheckMessage]) -> None:
    """A server that would send passwords and records in the open does not start. Raises ImproperlyConfigured."""
    for fault in faults:
        if fault.is_serious():
            raise ImproperlyConfigured(f"{fault.msg} {fault.hint}")


refuse(run_checks(tags=["wires"]))
# Reads every view: workers share them, and the first visitor does not wait for it.
len(get_resolver().url_patterns)
