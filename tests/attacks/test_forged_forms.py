"""Forms that another site sends in a signed-in browser.

Sources: OWASP WSTG 4.2, WSTG-SESS-05 (cross-site request forgery); RFC 6454, section 7 (the Origin header).
"""

import pytest

from tests.attacks.ground import APPS, Ground, address, rows_of, undone, writes
from tests.views.access import Row

POSTS = [row for app in APPS for row in rows_of(app, "post", "patch")]
ONE_CLICK = "people:mail_stop"  # RFC 8058, section 3.2: the mail program posts without having opened a page


def sender(row: Row) -> str:
    """Somebody whom the address lets in, so that the token is the only thing that is missing."""
    for name in ("secretary", "committee", "leader", "member"):
        if row.answer_for(name) in {200, 302}:
            return name
    return "secretary"


def forged(row: Row, ground: Ground) -> list[str]:
    """What a form without the token changes; 403 and nothing else is right."""
    asked = next(each for each in ground.asked if each.row is row)
    client = ground.client(sender(row), enforce_csrf_checks=True)
    with undone(), writes() as told:
        status = getattr(client, row.method)(asked.url, asked.data).status_code
    return [] if status == 403 and not told else [f"{row.name}: {status} {told[:1]}"]


@pytest.mark.parametrize("row", [row for row in POSTS if row.name != ONE_CLICK], ids=lambda row: row.name)
def test_a_form_without_the_token_changes_nothing(row: Row, ground: Ground) -> None:
    assert forged(row, ground) == []


def test_the_one_address_without_a_token_carries_its_own_key_and_no_cookie_helps(ground: Ground) -> None:
    row = next(row for row in POSTS if row.name == ONE_CLICK)
    url = address(row, ground.world)
    client = ground.client("anonymous", enforce_csrf_checks=True)
    with undone():
        assert client.post(url, {"List-Unsubscribe": "One-Click"}).status_code == 200
        assert client.post(url.replace("/mail/stop/", "/mail/stop/x")).status_code == 410


@pytest.mark.parametrize(
    ("said", "headers"),
    [
        ("another site", {"Origin": "https://evil.example"}),
        ("a site whose name begins like ours", {"Origin": "http://testserver.evil.example"}),
        ("a page that hides where it comes from", {"Origin": "null"}),
        ("a frame on another port", {"Origin": "http://testserver:8443"}),
    ],
)
def test_the_right_token_from_elsewhere_changes_nothing(
    said: str, headers: dict[str, str], ground: Ground
) -> None:
    client = ground.client("secretary", enforce_csrf_checks=True)
    token = client.get("/club/me/").cookies["csrftoken"].value
    with writes() as told:
        answer = client.post("/club/sign-out/", {"csrfmiddlewaretoken": token}, headers=headers)
    assert (answer.status_code, told) == (403, [])


@pytest.mark.parametrize("token", ["", "x" * 64, "\0" * 32, "A" * 32])
def test_a_token_that_is_none_changes_nothing(token: str, ground: Ground) -> None:
    client = ground.client("secretary", enforce_csrf_checks=True)
    client.get("/club/me/")
    with writes() as told:
        answer = client.post("/club/sign-out/", {"csrfmiddlewaretoken": token})
    assert (answer.status_code, told) == (403, [])


def test_a_token_of_another_browser_changes_nothing(ground: Ground) -> None:
    theirs = ground.client("other_member").get("/club/me/").cookies["csrftoken"].value
    client = ground.client("secretary", enforce_csrf_checks=True)
    client.get("/club/me/")
    assert client.post("/club/sign-out/", {"csrfmiddlewaretoken": theirs}).status_code == 403
