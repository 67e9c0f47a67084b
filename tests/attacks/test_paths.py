"""Addresses that climb out of their folder, ask for the program's own files, or come under another name.

Sources: OWASP WSTG 4.2, WSTG-ATHZ-01 (directory traversal), WSTG-CONF-04 (forgotten files), WSTG-INPV-17 (host header),
WSTG-CLNT-04 (open redirects), WSTG-CLNT-09 (clickjacking).
"""

from typing import Any

import pytest
from django.conf import settings
from django.core import mail
from django.test import Client
from django.urls import reverse

from people.models import Letter
from tests import make
from tests.attacks.ground import Ground, body_of

SECRETS = (
    b"root:",
    settings.SECRET_KEY.encode(),
    b"DJANGO_SECRET_KEY",
    b"SQLite format 3",
    b"import environ",
)
CLIMBS = [
    "/static/../config/settings.py",
    "/static/%2e%2e/config/settings.py",
    "/static/..%2fconfig%2fsettings.py",
    "/static/..%5cconfig%5csettings.py",
    "/static/%252e%252e/config/settings.py",
    "/static//etc/passwd",
    "/static/css/..;/..;/config/settings.py",
    "/static/js/....//....//config/settings.py",
    "/static/%00/etc/passwd",
    "/media/",
    "/media/finds/",
    "/private/",
    "/var/private/",
    "/var/club.sqlite3",
    "/.git/config",
    "/.env",
    "/manage.py",
    "/config/settings.py",
    "/static/",
    "/static/js/",
    "//etc/passwd",
    "/..%2f..%2f..%2fetc/passwd",
    "/finds/photographs/1/..%2f..%2f..%2fetc%2fpasswd/",
    "/heritage/packs/..%2f..%2fsettings/",
    "/land/seasons/..%2f..%2fsettings/",
    "/reports/..%2f..%2fetc/1/issue/",
    "/admin/",
    "/__debug__/",
    "/server-status",
    "/api/",
    "/graphql",
]


@pytest.mark.parametrize("name", ["anonymous", "secretary"])
@pytest.mark.parametrize("path", CLIMBS)
def test_no_address_climbs_out(path: str, name: str, ground: Ground) -> None:
    answer = ground.client(name).get(path)
    assert answer.status_code in {301, 302, 400, 404, 405}
    assert [secret for secret in SECRETS if secret in body_of(answer)] == []
    if answer.status_code in {301, 302}:
        assert answer["Location"].startswith("/")
        assert not answer["Location"].startswith("//")


SIZES = ["..%2f..%2fetc%2fpasswd", "full%00", "%2e%2e", "FULL", "display.jpg", "{}", "x" * 500]


@pytest.mark.parametrize("size", SIZES)
def test_the_size_of_a_photograph_chooses_one_of_two_files(size: str, ground: Ground) -> None:
    answer = ground.client("member").get(f"/finds/photographs/{ground.world.photo.pk}/{size}/")
    body = body_of(answer)
    assert answer.status_code in {200, 400, 404}
    assert answer.status_code != 200 or body.startswith(b"\xff\xd8")


def test_the_folder_of_photographs_has_no_address(ground: Ground) -> None:
    stored = ground.world.photo.display.name
    for path in (f"/{stored}", f"/media/{stored}", f"/static/{stored}", f"/private/{stored}"):
        assert ground.client("committee").get(path).status_code == 404, path


ELSEWHERE = [
    "https://evil.example/",
    "//evil.example/",
    "/\\evil.example/",
    "\\\\evil.example",
    "https:evil.example",
    "http:///evil.example",
    "javascript:alert(1)",
    "data:text/html,x",
    "/%09/evil.example",
    "\t//evil.example",
    "https://testserver@evil.example/",
    "https://testserver.evil.example/",
    "///evil.example",
    "ftp://testserver/",
]


@pytest.mark.parametrize("next_page", ELSEWHERE, ids=ascii)
def test_signing_in_leads_nowhere_else(next_page: str, ground: Ground) -> None:
    """`next` stands in the address and in the form; a form that is shown again holds it as a value only."""
    member = ground.world.member
    said = {"username": member.email, "password": make.PASSWORD, "next": next_page}
    answer = Client().post(reverse("people:sign_in", query={"next": next_page}), said)
    landed = answer.headers.get("Location", "/")
    assert landed.startswith("/")
    assert not landed.startswith(("//", "/\\"))
    assert "evil.example" not in landed.split("?")[0].replace("%09", "") or landed == "/%09/evil.example"


@pytest.mark.parametrize("next_page", ELSEWHERE[:4], ids=ascii)
def test_who_is_signed_in_already_is_led_nowhere_else(next_page: str, ground: Ground) -> None:
    answer = ground.client("member").get(reverse("people:sign_in", query={"next": next_page}))
    assert answer["Location"] == "/"


HOSTS = [
    "evil.example",
    "testserver.evil.example",
    "testserver@evil.example",
    "127.0.0.1.evil.example",
    "[::1",
    "a\r\nb",
]


def host_is_refused(host: str, ground: Ground) -> None:
    reset, letters = reverse("people:password_reset"), Letter.objects.count()
    answer = Client().post(reset, {"email": ground.world.member.email}, HTTP_HOST=host)
    assert answer.status_code == 400
    assert Letter.objects.count() == letters
    assert mail.outbox == []


@pytest.mark.parametrize("host", HOSTS, ids=ascii)
def test_another_host_name_is_refused_and_stands_in_no_letter(host: str, ground: Ground) -> None:
    host_is_refused(host, ground)


@pytest.mark.parametrize(
    "header", ["X-Forwarded-Host", "X-Host", "Forwarded", "X-Original-URL", "X-Rewrite-URL"]
)
def test_a_header_of_the_visitor_names_no_other_host_and_no_other_page(header: str, ground: Ground) -> None:
    said = {
        "Forwarded": "host=evil.example",
        "X-Original-URL": "/club/audit/",
        "X-Rewrite-URL": "/club/audit/",
    }
    value = said.get(header, "evil.example")
    ground.client("anonymous").post(
        reverse("people:password_reset"), {"email": ground.world.member.email}, headers={header: value}
    )
    assert not any("evil.example" in letter.text + letter.html for letter in Letter.objects.all())
    page = ground.client("member").get(reverse("people:club"), headers={header: value})
    assert "Audit trail" not in page.text


def guarded(answer: Any) -> list[str]:
    """What is missing among the headers of an answer. Sources: OWASP ASVS 5.0.0, 3.4.3 to 3.4.6 and 14.3.2."""
    policy = answer.headers.get("Content-Security-Policy", "")
    wanted = {
        "no frame": "frame-ancestors 'none'" in policy and answer.headers.get("X-Frame-Options") == "DENY",
        "nothing unsafe": "unsafe-" not in policy or answer["Content-Type"] == "application/pdf",
        "no other site": "Access-Control-Allow-Origin" not in answer.headers,
        "no base": "base-uri 'none'" in policy,
        "no guessing": answer.headers.get("X-Content-Type-Options") == "nosniff",
        "not kept": "no-store" in answer.headers.get("Cache-Control", ""),
        "not found by search": "noindex" in answer.headers.get("X-Robots-Tag", ""),
        "no referrer elsewhere": answer.headers.get("Referrer-Policy") in {"same-origin", "no-referrer"},
        "own window": answer.headers.get("Cross-Origin-Opener-Policy") == "same-origin",
        "features": "geolocation=(self)" in answer.headers.get("Permissions-Policy", ""),
    }
    return [name for name, there in wanted.items() if not there]


PAGES = {
    "Today": lambda world: "/",
    "a find": lambda world: reverse("finds:detail", args=[world.find.pk]),
    "a photograph": lambda world: reverse("finds:photo", args=[world.photo.pk, "full"]),
    "an export": lambda world: reverse("finds:export_csv"),
    "an issued PDF": lambda world: reverse("reports:issued_pdf", args=[world.returns.pk]),
    "people": lambda world: reverse("people:person_list"),
    "sign-in": lambda world: reverse("people:sign_in"),
    "a missing page": lambda world: "/nowhere/",
    "a missing slash": lambda world: "/club/people",
    "a phone's answer": lambda world: "/field/me/",
    "lanes": lambda world: reverse("hunts:lanes_gpx", args=[world.hunt.pk]),
}


@pytest.mark.parametrize("name", PAGES)
def test_every_answer_carries_its_guards(name: str, ground: Ground) -> None:
    answer = ground.client("secretary").get(PAGES[name](ground.world))
    body_of(answer)
    assert guarded(answer) == []


def test_a_refused_host_and_a_refused_form_carry_them_too(ground: Ground) -> None:
    assert guarded(Client().get("/", HTTP_HOST="evil.example")) == []
    assert guarded(Client(enforce_csrf_checks=True).post(reverse("people:sign_in"))) == []
