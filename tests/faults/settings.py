"""The test settings for a server that is struck: its database, its disk, its mail folder and its clock are given."""

import os
from datetime import timedelta
from pathlib import Path

import django.utils.timezone as clock

from tests.settings import *

DEBUG = False
MEDIA_ROOT = os.environ["MEDIA_ROOT"]
EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
EMAIL_FILE_PATH = os.environ["FAULTS_MAIL"]
MIGRATION_MODULES = {name.rpartition(".")[2]: None for name in INSTALLED_APPS}
CLOCK = Path(os.environ["FAULTS_CLOCK"])

if os.environ.get("FAULTS_SERVER"):
    # Settings are read before any app: whoever imports `now` gets this one, and a strike sets it by a file.
    plain_now = clock.now

    def jumping_now():  # type: ignore[no-untyped-def]
        return plain_now() + timedelta(seconds=float(CLOCK.read_text() or 0))

    clock.now = jumping_now
