"""The test settings for a server process of its own: the files and the hour that the process is given."""

import os
from datetime import timedelta

import django.utils.timezone as clock

from tests.settings import *

AHEAD = timedelta(seconds=float(os.environ.get("STORM_AHEAD_S", "0")))
if AHEAD:
    # Settings are read before any app: whoever imports `now` gets this one.
    plain_now = clock.now
    clock.now = lambda: plain_now() + AHEAD

DEBUG = False
MEDIA_ROOT = os.environ["MEDIA_ROOT"]
STATICFILES_DIRS = [os.environ["STORM_STATIC"]]
if os.environ["STORM_HASHED"]:
    STORAGES = {**STORAGES, "staticfiles": {"BACKEND": "web.static_files.HashedModules"}}
    WHITENOISE_AUTOREFRESH = False
else:
    WHITENOISE_USE_FINDERS = True
MIGRATION_MODULES = {name.rpartition(".")[2]: None for name in INSTALLED_APPS}
