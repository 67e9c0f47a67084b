"""What programs ask for is refused over plain HTTP, by the site and by the proxy alike. OWASP ASVS 5.0.0, 4.1.2."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.http import JsonResponse
from django.test import RequestFactory
from django.urls import URLPattern, URLResolver, get_resolver

from web.plain_http import ASKED_BY_PROGRAMS, NoPlainHttpMiddleware

pytestmark = pytest.mark.once
ROOT = Path(__file__).resolve().parents[2]


def addresses(patterns: list[Any], before: str = "/") -> Iterator[tuple[str, Any]]:
    for each in patterns:
        if isinstance(each, URLResolver):
            yield from addresses(each.url_patterns, before + str(each.pattern))
        elif isinstance(each, URLPattern):
            yield before + str(each.pattern), each.callback


def test_every_view_that_answers_a_program_is_among_them() -> None:
    answering = [
        path
        for path, view in addresses(get_resolver().url_patterns)
        if getattr(view, "__annotations__", {}).get("return") is JsonResponse
    ]
    assert len(answering) >= 5
    assert [path for path in answering if not path.startswith(ASKED_BY_PROGRAMS)] == []


def test_the_proxy_refuses_the_same_addresses() -> None:
    (rule,) = re.findall(r"location ~ (\S+) \{ return 403; \}", (ROOT / "deploy/nginx.conf").read_text())
    refused = re.compile(rule)
    assert all(refused.search(path) and refused.search(path.rstrip("/")) for path in ASKED_BY_PROGRAMS)
    theirs = [path for path, _ in addresses(get_resolver().url_patterns) if refused.search(path)]
    assert theirs
    assert [path for path in theirs if not path.startswith(ASKED_BY_PROGRAMS)] == []


@pytest.mark.parametrize("is_redirected", [True, False])
def test_nothing_is_refused_where_the_site_is_not_meant_to_be_on_https(
    settings: Any, is_redirected: bool
) -> None:
    settings.SECURE_SSL_REDIRECT = is_redirected
    answer = NoPlainHttpMiddleware(lambda request: JsonResponse({}))(RequestFactory().get("/open"))
    assert answer.status_code == (403 if is_redirected else 200)
    secure = NoPlainHttpMiddleware(lambda request: JsonResponse({}))(
        RequestFactory().get("/open/", secure=True)
    )
    assert secure.status_code == 200
