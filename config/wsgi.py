"""The WSGI entry point that gunicorn loads."""

import os

from django.core.wsgi import get_wsgi_application
from django.urls import get_resolver

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
application = get_wsgi_application()
# Reads every view: workers share them, and the first visitor does not wait for it.
len(get_resolver().url_patterns)
