"""The project's settings as the tests run them: a throw-away secret, fast hashes, private temporary files."""

import os
import tempfile
from pathlib import Path

os.environ.setdefault(
    "DJANGO_SECRET_KEY", "a-throw-away-key-for-tests-only-not-used-anywhere-else-0123456789"
)
os.environ.setdefault("EMAIL_URL", "memorymail://")

from config.settings import *

ALLOWED_HOSTS = ["testserver", "localhost", "127.0.0.1"]
SECURE_SSL_REDIRECT = False
SESSION_COOKIE_SECURE = False
CSRF_COOKIE_SECURE = False
# Over plain HTTP a browser takes no name that begins with __Host-; tests/house/test_safe_settings.py looks at those.
SESSION_COOKIE_NAME = "sessionid"
CSRF_COOKIE_NAME = "csrftoken"
MESSAGE_STORAGE = "django.contrib.messages.storage.fallback.FallbackStorage"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES = {**STORAGES, "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
BACKUP_WARN_DAYS = 0  # the tests of Today are about other things; those of backups set it
WHITENOISE_AUTOREFRESH = True  # WhiteNoise otherwise walks the static tree for each test client
MEDIA_ROOT = tempfile.mkdtemp(prefix="stubble-test-")
SECOND_FACTOR_REQUIRED = False  # tests of it turn it on; all others sign in by password
MFA_WEBAUTHN_ALLOW_INSECURE_ORIGIN = True  # the live server speaks plain HTTP
CACHES = {
    "default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"},
    "shared": CACHES["default"],  # its table is made with the others; a test of counting together uses it
}
if DATABASES["default"]["ENGINE"] == "web.sqlite":
    # A file, as a club's: the threads of a live server and those of races are connections of their own, which wait for
    # one another. In memory SQLite would refuse them at once.
    DATABASES["default"]["TEST"] = {
        "NAME": str(Path(tempfile.mkdtemp(prefix="stubble-test-")) / "club.sqlite3")
    }
    DATABASES["default"]["OPTIONS"]["init_command"] += (
        "PRAGMA synchronous=OFF;"  # nothing here outlives the run
    )
