"""Private files go out under headers that keep them private, with names nobody can guess."""

import io
from pathlib import Path

import pytest

from web.files import plain_filename, private_file, private_name

# Closing a file answer tells Django that a request ended, and that looks at connections.
pytestmark = pytest.mark.django_db


def headers(
    content_type: str = "image/jpeg", filename: str = "find 12.jpg", inline: bool = True
) -> dict[str, str]:
    response = private_file(io.BytesIO(b"data"), content_type=content_type, filename=filename, inline=inline)
    response.close()
    return dict(response.headers)


def test_no_cache_keeps_it_and_no_browser_guesses_or_runs_it() -> None:
    sent = headers()
    assert sent["X-Content-Type-Options"] == "nosniff"
    assert sent["Cache-Control"] == "private, no-store"
    assert sent["Content-Security-Policy"] == (
        "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox"
    )
    assert sent["Cross-Origin-Resource-Policy"] == "same-origin"
    assert sent["Content-Type"] == "image/jpeg"


def test_pdf_viewer_is_not_sandboxed_but_nothing_else_may_load() -> None:
    policy = headers("application/pdf")["Content-Security-Policy"]
    assert "sandbox" not in policy
    assert policy.startswith("default-src 'none'")


@pytest.mark.parametrize(
    "content_type", ["text/html", "image/svg+xml", "application/xml", "text/html; charset=utf-8"]
)
def test_what_a_browser_could_run_is_only_ever_downloaded(content_type: str) -> None:
    assert headers(content_type, "x.html")["Content-Disposition"].startswith("attachment")


# RFC 6266, 4.1 and 5: a plain name is quoted, any other is UTF-8 percent-encoded under filename* (RFC 8187).
@pytest.mark.parametrize(
    ("filename", "inline", "sent"),
    [
        ("find 12.jpg", True, 'inline; filename="find 12.jpg"'),
        ("find 12.jpg", False, 'attachment; filename="find 12.jpg"'),
        ("Tŷ Gwyn.jpg", True, "inline; filename*=utf-8''T%C5%B7%20Gwyn.jpg"),
        ("../../a\r\nSet-Cookie: x.jpg", True, 'inline; filename="aSet-Cookie: x.jpg"'),
        ("\\\\host\\share\\.hidden", True, 'inline; filename="hidden"'),
    ],
)
def test_name_is_written_as_the_standard_asks(filename: str, inline: bool, sent: str) -> None:
    assert headers(filename=filename, inline=inline)["Content-Disposition"] == sent


def test_path_is_streamed(tmp_path: Path) -> None:
    path = tmp_path / "x.jpg"
    path.write_bytes(b"whole file")
    response = private_file(path, content_type="image/jpeg", filename="x.jpg")
    assert response.getvalue() == b"whole file"
    assert response.headers["Content-Length"] == "10"
    response.close()


def test_empty_name_still_has_one() -> None:
    assert plain_filename("..//") == "file"
    assert len(plain_filename("n" * 500)) == 120


def test_private_names_differ_and_spread_over_folders() -> None:
    names = {private_name("photos", ".jpg") for _ in range(500)}
    assert len(names) == 500
    assert all(len(name) == len("photos/aa/") + 32 + len(".jpg") and name.endswith(".jpg") for name in names)
    assert len({name.split("/")[1] for name in names}) > 100


@pytest.mark.parametrize(
    ("prefix", "ext"),
    [("../up", "jpg"), ("Photos", "jpg"), ("a", "jp/g"), ("a", ""), ("", "jpg"), ("a//b", "jpg")],
)
def test_private_name_refuses_words_from_elsewhere(prefix: str, ext: str) -> None:
    with pytest.raises(ValueError, match="lower-case words"):
        private_name(prefix, ext)
