"""What is logged of a request holds no key of a private address."""

import logging

import pytest

from web.log_keys import HideKeys, without_keys

KEY = "0f" * 16 + ":" + "aB3-_" * 8 + "abc"


@pytest.mark.parametrize("folder", ["l", "s", "p", "c"])
def test_a_key_in_a_path_is_left_out(folder: str) -> None:
    assert without_keys(f"Gone: /{folder}/{KEY}/report/3/") == f"Gone: /{folder}/…/report/3/"


@pytest.mark.parametrize(
    "text", [f"/mail/stop/WyJhIiwi:{KEY}/", f'"GET /l/{KEY}/ HTTP/1.1" 410 900', f"/x/{KEY}"]
)
def test_anything_that_looks_signed_is_left_out(text: str) -> None:
    assert KEY not in without_keys(text)
    assert "aB3-_" not in without_keys(text)


@pytest.mark.parametrize(
    "address", ["/club/invited/nokey", "/club/password/new/MQ/c8x2lk-9f3b8d7a6e5c4b3a2f1e0d9c8b7a6f5e/"]
)
def test_an_address_that_sets_a_password_is_left_out(address: str) -> None:
    words = without_keys(f'"GET {address} HTTP/1.1" 302 0')
    assert words in ('"GET /club/invited/… HTTP/1.1" 302 0', '"GET /club/password/new/… HTTP/1.1" 302 0')


@pytest.mark.parametrize(
    "text", ["Not Found: /finds/7/", "/static/css/app.css", "12:30:45 late_out: 3 told", "/l"]
)
def test_other_words_stay(text: str) -> None:
    assert without_keys(text) == text


def test_the_filter_writes_the_record_out_plainly() -> None:
    record = logging.LogRecord("django.request", 30, __file__, 1, "%s: %s", ("Gone", f"/l/{KEY}/"), None)
    assert HideKeys().filter(record)
    assert record.getMessage() == "Gone: /l/…/"
