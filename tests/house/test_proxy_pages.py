"""What the proxy as shipped says by itself, while no site stands behind it: a page in the reader's language that helps.

Sources: RFC 9110, 15.5.14 (413), 15.6.3 (502) and 10.2.3 (Retry-After); RFC 6585, 4 (429).
"""

import http.client
import re
import ssl
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.house import proxy
from tests.house.proxy import ROOT, Stage
from tools import proxy_pages
from web.proxy_pages import pages

pytestmark = pytest.mark.once
ALONE = pytest.mark.skipif(not proxy.IS_HERE, reason="no nginx here")
Answer = tuple[int, http.client.HTTPMessage, str]


def test_the_pages_that_are_kept_say_what_the_program_says() -> None:
    """Otherwise: `python -m tools.proxy_pages`."""
    assert proxy_pages.written() == pages()


def test_every_page_is_whole_in_itself_and_in_its_own_language() -> None:
    for path, html in pages().items():
        assert f'<html lang="{path[:2]}' in html
        assert re.findall(r'(?:src|href)="([^"]*)"', html) == ["/"], path
    assert pages()["nl/away.html"].partition("<h1>")[2] != pages()["en/away.html"].partition("<h1>")[2]


def test_the_proxy_has_a_page_for_all_that_it_says_and_says_no_other() -> None:
    text = (ROOT / "deploy/nginx.conf").read_text()
    named = set(re.findall(r"/proxy-pages/\$stubble_language/(\w+\.html)", text))
    assert named == {Path(path).name for path in pages()}
    languages = set(re.findall(r"^ *(?:default|~\*\^\w+) ([a-z]+);", text, re.M))
    assert languages == {path[:2] for path in pages()}


@pytest.fixture(scope="module")
def stage(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Stage]:
    with proxy.staged(tmp_path_factory.mktemp("proxy-alone"), with_site=False) as stage:
        yield stage


def ask(stage: Stage, verb: str, path: str, *, plain: bool = False, **head: str) -> Answer:
    """The head alone is sent: a body that is too large never leaves."""
    trusted = ssl.create_default_context(cafile=stage.certificate)
    connection = (
        http.client.HTTPConnection("localhost", stage.plain, timeout=30)
        if plain
        else http.client.HTTPSConnection("localhost", stage.closed, timeout=30, context=trusted)
    )
    connection.putrequest(verb, path)
    for name, value in head.items():
        connection.putheader(name.replace("_", "-"), value)
    connection.endheaders()
    answer = connection.getresponse()
    said = answer.status, answer.headers, answer.read().decode()
    connection.close()
    return said


@ALONE
@pytest.mark.parametrize(
    ("asked_for", "language"), [("nl-NL,nl;q=0.9,en;q=0.8", "nl"), ("en-GB", "en"), ("fr", "en")]
)
def test_a_body_that_is_too_large_is_told_so(stage: Stage, asked_for: str, language: str) -> None:
    status, head, body = ask(
        stage, "POST", "/finds/new/", Content_Length=str(201 * 1024**2), Accept_Language=asked_for
    )
    assert (status, body) == (413, pages()[f"{language}/413.html"])
    assert head["Content-Type"] == "text/html"
    assert head["Cache-Control"] == "no-store"
    assert head["Retry-After"] is None


@ALONE
@pytest.mark.parametrize("verb", ["GET", "POST"])
def test_a_site_that_is_away_is_told_of_and_when_to_come_again(stage: Stage, verb: str) -> None:
    status, head, body = ask(stage, verb, "/finds/", Content_Length="0", Accept_Language="nl")
    assert (status, body) == (502, pages()["nl/away.html"])
    assert head["Retry-After"] == "60"


@ALONE
def test_too_many_tries_at_the_door_are_told_of(stage: Stage) -> None:
    """A burst of twenty is let through to the site, which is away."""
    met = [ask(stage, "POST", "/club/sign-in/", Content_Length="0") for _ in range(30)]
    assert {status for status, _head, _body in met} == {502, 429}
    last = next(each for each in met if each[0] == 429)
    assert last[2] == pages()["en/429.html"]
    assert last[1]["Retry-After"] == "60"


@ALONE
def test_a_form_over_plain_http_is_told_why_it_was_refused(stage: Stage) -> None:
    status, _head, body = ask(stage, "POST", "/finds/new/", plain=True, Content_Length="0")
    assert (status, body) == (403, pages()["en/403.html"])


@ALONE
def test_the_pages_have_no_address_of_their_own(stage: Stage) -> None:
    assert ask(stage, "GET", "/proxy-pages/en/413.html")[0] == 404
