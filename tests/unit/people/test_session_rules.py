"""How long a sign-in lasts, at its edges."""

from datetime import UTC, datetime, timedelta

import pytest

from people.account_words import device
from people.session_rules import MEMBERS, TRUSTED, may_be_over, why_over

NOW = datetime(2026, 3, 29, 1, 30, tzinfo=UTC)  # clocks change in the night: lengths are counted in real time
MOMENT = timedelta(seconds=1)


@pytest.mark.parametrize("limits", [MEMBERS, TRUSTED])
def test_a_sign_in_ends_at_its_limit_and_not_a_moment_before(limits) -> None:
    in_use = NOW - MOMENT
    assert why_over(NOW - limits.in_all + MOMENT, in_use, limits, at=NOW) == ""
    assert "ago" in why_over(NOW - limits.in_all, in_use, limits, at=NOW)
    begun = NOW - limits.idle
    assert why_over(begun, NOW - limits.idle + MOMENT, limits, at=NOW) == ""
    assert "not used" in why_over(begun, NOW - limits.idle, limits, at=NOW)


def test_the_words_name_the_limit() -> None:
    assert "12 hours" in why_over(NOW - timedelta(1), NOW - timedelta(1), TRUSTED, at=NOW)
    assert "7 days" in why_over(NOW - timedelta(8), NOW - timedelta(8), MEMBERS, at=NOW)
    assert "30 days ago" in why_over(NOW - timedelta(30), NOW, MEMBERS, at=NOW)


def test_who_is_trusted_with_more_is_signed_out_sooner() -> None:
    assert TRUSTED.in_all <= MEMBERS.in_all
    assert TRUSTED.idle <= MEMBERS.idle
    since, seen = NOW - timedelta(hours=13), NOW - timedelta(hours=13)
    assert may_be_over(since, seen, at=NOW)
    assert not why_over(since, seen, MEMBERS, at=NOW)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (
            "Mozilla/5.0 (Linux; Android 14; K) AppleWebKit/537.36 Chrome/130.0 Mobile Safari/537.36",
            "Chrome on Android",
        ),
        (
            "Mozilla/5.0 (iPhone; CPU iPhone OS 18_1 like Mac OS X) Version/18.1 Safari/604.1",
            "Safari on an iPhone",
        ),
        ("Mozilla/5.0 (Windows NT 10.0; Win64; x64) Chrome/130.0 Safari/537.36 Edg/130.0", "Edge on Windows"),
        ("Mozilla/5.0 (X11; Linux x86_64; rv:132.0) Gecko/20100101 Firefox/132.0", "Firefox on Linux"),
        ("", "Another browser on another system"),
    ],
)
def test_a_browser_is_named_so_that_one_knows_it_again(said: str, words: str) -> None:
    assert device(said) == words
