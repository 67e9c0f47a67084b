"""What a club's server is told by the settings of production: cookies, headers, and what may answer by itself.

Source: OWASP ASVS 5.0.0, 3.3.1 to 3.3.4, 3.4.1 to 3.4.6, 13.4.2.
"""

import json
import os
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.once
ROOT = Path(__file__).resolve().parents[2]
ASK = """
import json, django
django.setup()
from django.conf import settings
from django.db import connection
from people.models import Club
with connection.schema_editor() as editor:
    editor.create_model(Club)  # every answer asks which language the club speaks
from django.contrib.messages import constants
from django.contrib.messages.storage import default_storage
from django.http import HttpResponse
from django.test import Client, RequestFactory
names = ("DEBUG", "SESSION_COOKIE_NAME", "CSRF_COOKIE_NAME", "SESSION_COOKIE_SECURE", "CSRF_COOKIE_SECURE",
    "SESSION_COOKIE_HTTPONLY", "SESSION_COOKIE_SAMESITE", "CSRF_COOKIE_SAMESITE", "SESSION_COOKIE_DOMAIN",
    "SESSION_COOKIE_PATH", "CSRF_COOKIE_DOMAIN", "CSRF_COOKIE_PATH", "ADMINS", "MANAGERS")
request = RequestFactory().get("/")
request.session = {}
request._messages = default_storage(request)
request._messages.add(constants.INFO, "kept")
answer = HttpResponse()
request._messages.update(answer)
message = {name: dict(morsel) for name, morsel in answer.cookies.items()}
page = Client(headers={"host": "club.example"}).get("/field/me/", secure=True)
browser = Client(headers={"host": "club.example"})
plain = browser.get("/club/")
open_to_read = {f"{verb} {path}": getattr(browser, verb)(path).status_code
    for verb, path in (("get", "/"), ("get", "/field/"), ("get", "/field/me/"),
    ("get", "/open/"), ("post", "/field/records/"), ("post", "/club/sign-in/"))}
print(json.dumps({"settings": {name: getattr(settings, name) for name in names}, "message": message,
    "headers": dict(page.headers), "plain": [plain.status_code, plain["Location"]],
    "open_to_read": open_to_read,
    "middleware": settings.MIDDLEWARE}))
"""


@cache
def production() -> dict[str, Any]:
    """What a process of its own says that starts as a club's server does."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith("DJANGO_")}
    environment = kept | {
        "DJANGO_SECRET_KEY": "zR4-this-is-a-test-value-with-many-different-characters-0192837465-qwertyuiop",
        "DJANGO_ALLOWED_HOSTS": "club.example",
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "DATABASE_URL": "sqlite://:memory:",
    }
    done = subprocess.run(
        [sys.executable, "-c", ASK], cwd=ROOT, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    said: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return said


def test_every_cookie_is_of_this_host_over_https_alone() -> None:
    """RFC 6265bis, 4.1.3.2: __Host- wants Secure, the path / and no domain."""
    said = production()["settings"]
    for kind in ("SESSION", "CSRF"):
        assert said[f"{kind}_COOKIE_NAME"].startswith("__Host-")
        assert said[f"{kind}_COOKIE_SECURE"] is True
        assert (said[f"{kind}_COOKIE_DOMAIN"], said[f"{kind}_COOKIE_PATH"]) == (None, "/")
        assert said[f"{kind}_COOKIE_SAMESITE"] == "Lax"
    assert said["SESSION_COOKIE_HTTPONLY"] is True
    ((name, morsel),) = production()["message"].items()
    assert name == "__Host-messages"
    assert (morsel["secure"], morsel["path"], morsel["domain"]) == (True, "/", "")


def test_https_is_for_a_year_and_for_every_name_below() -> None:
    assert (
        production()["headers"]["Strict-Transport-Security"] == "max-age=31536000; includeSubDomains; preload"
    )
    assert production()["plain"] == [301, "https://club.example/club/"]


def test_over_plain_http_a_page_redirects_and_what_programs_ask_is_refused() -> None:
    """OWASP ASVS 5.0.0, 4.1.2."""
    assert production()["open_to_read"] == {
        "get /": 301,
        "get /field/": 301,
        "get /field/me/": 403,
        "get /open/": 403,
        "post /field/records/": 403,
        "post /club/sign-in/": 403,
    }


def test_the_policy_of_content_names_nothing_unsafe() -> None:
    policy = production()["headers"]["Content-Security-Policy"]
    assert "unsafe" not in policy
    for part in ("default-src 'self'", "object-src 'none'", "base-uri 'none'", "frame-ancestors 'none'"):
        assert part in policy


def test_place_and_camera_are_for_this_site_alone() -> None:
    policy = production()["headers"]["Permissions-Policy"]
    assert "geolocation=(self)" in policy
    assert "camera=(self)" in policy
    assert "microphone=()" in policy


def test_nothing_is_mailed_about_errors_and_debug_is_off() -> None:
    """An error report by mail would hold what was typed: there is nobody whom one would reach."""
    said = production()["settings"]
    assert (said["DEBUG"], said["ADMINS"], said["MANAGERS"]) == (False, [], [])


def test_the_headers_are_set_outside_everything_that_may_answer() -> None:
    order = production()["middleware"]
    inside = order.index("web.middleware.PrivateByDefaultMiddleware")
    for name in ("sessions.middleware", "common.Common", "csrf.Csrf", "auth.middleware"):
        assert inside < min(place for place, each in enumerate(order) if name in each)
