"""What a phone stores of the field page: small, whole, the same for everybody, one version at a time."""

import gzip
import json
import re
from base64 import b64encode
from collections.abc import Callable, Iterator
from hashlib import sha256
from io import BytesIO
from pathlib import Path, PurePosixPath

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders
from django.test import Client
from django.urls import reverse
from django.utils import translation
from PIL import Image

from field import shell
from people.models import User
from tests import make

SHELL_KB = 150
WITH_MAP_KB = 400
WITH_WORDS_KB = 100
IMPORT = re.compile(r"""^(?:import|export)\b[^;]*?\bfrom "([^"]+)";|^import "([^"]+)";""", re.MULTILINE)


@pytest.fixture(autouse=True)
def no_language_is_left_behind() -> Iterator[None]:
    """A request's language stays with its thread, here that of the tests that come after these."""
    with translation.override(settings.LANGUAGE_CODE):
        yield


def squeezed(data: bytes) -> int:
    return len(gzip.compress(data, 6))


def parts() -> dict[str, int]:
    """Bytes of everything that the worker stores, as a server sends them with gzip."""
    sizes = {name: squeezed(shell.content(name)) for name in [*shell.modules(), *shell.OTHERS]}
    return sizes | {
        "page": squeezed(shell.page().encode()),
        "manifest": squeezed(json.dumps(shell.manifest()).encode()),
    }


def test_shell_is_under_150_kb_compressed_and_under_400_with_the_map(db: None) -> None:
    total = sum(parts().values())
    assert total < SHELL_KB * 1000, sorted(parts().items(), key=lambda part: -part[1])[:5]
    bundle = settings.BASE_DIR / "static" / "dist" / "map.js"
    if bundle.exists():
        assert total + squeezed(bundle.read_bytes()) < WITH_MAP_KB * 1000


@pytest.mark.parametrize("language", [code for code, _ in settings.LANGUAGES])
def test_page_with_the_words_of_any_language_is_under_100_kb_compressed(db: None, language: str) -> None:
    with translation.override(language):
        assert sum(parts().values()) < WITH_WORDS_KB * 1000


def test_each_language_is_a_version_of_its_own_and_page_and_manifest_name_it(
    client_of: Callable[[User | None], Client], member: User
) -> None:
    versions = set()
    for language in ("en-gb", "nl"):
        member.language = language
        member.save(update_fields=["language"])
        client = client_of(member)
        answers = [client.get(reverse(f"field:{name}")) for name in ("shell", "manifest")]
        (version,) = {answer["X-Field-Version"] for answer in answers}
        assert f'const VERSION = "{version}";' in client.get(reverse("field:worker")).content.decode()
        assert ("data-said" in answers[0].content.decode()) == (language == "nl")
        assert answers[1].json()["lang"].lower() == language
        versions.add(version)
    assert len(versions) == 2


def test_worker_stores_every_module_that_a_module_imports(db: None) -> None:
    listed = set(shell.modules())
    for name in listed:
        source = shell.content(name).decode()
        for found in IMPORT.finditer(source):
            wanted = (found[1] or found[2]).removeprefix("./")
            parent = PurePosixPath(name).parent
            while wanted.startswith("../"):
                parent, wanted = parent.parent, wanted.removeprefix("../")
            assert f"{parent}/{wanted}" in listed, f"{name} imports {found[1] or found[2]}"


def test_worker_names_the_digest_of_what_a_browser_gets(client: Client, db: None) -> None:
    source = client.get(reverse("field:worker")).content.decode()
    listed = json.loads(re.search(r"^const FILES = (.*);$", source, re.MULTILINE)[1])  # type: ignore[index]
    assert len(listed) == len(shell.modules()) + len(shell.OTHERS)
    for each in listed:
        data = Path(str(finders.find(each["url"].removeprefix("/static/")))).read_bytes()
        assert each["integrity"] == f"sha256-{b64encode(sha256(data).digest()).decode()}"


def test_version_changes_with_any_file(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    before, _ = shell._measure()
    plain = shell.content
    monkeypatch.setattr(
        shell, "content", lambda name: plain(name) + (b" " if name.endswith("clock.js") else b"")
    )
    after, _ = shell._measure()
    assert before != after


def test_page_worker_and_manifest_say_the_same_to_everybody(
    client_of: Callable[[User | None], Client], member: User, secretary: User
) -> None:
    make.club(name="Ravensand & District Search Club")
    for name in ("field:shell", "field:worker", "field:manifest"):
        answers = {client_of(user).get(reverse(name)).content for user in (None, member, secretary)}
        assert len(answers) == 1
        (only,) = answers
        assert member.name.encode() not in only


def test_page_and_worker_are_asked_for_anew_and_name_one_version(client: Client, db: None) -> None:
    page, worker = client.get(reverse("field:shell")), client.get(reverse("field:worker"))
    assert page["Cache-Control"] == worker["Cache-Control"] == "no-cache"
    assert f'const VERSION = "{page["X-Field-Version"]}";' in worker.content.decode()
    assert worker["Content-Type"].startswith("text/javascript")
    assert "csrftoken" in page.cookies


def test_manifest_can_be_installed(client: Client, db: None) -> None:
    """W3C Web Application Manifest: name, start_url within scope, display; icons are as large as they say.

    192 and 512 pixels are what browsers ask for before they offer to install (common practice).
    """
    response = client.get(reverse("field:manifest"))
    assert response["Content-Type"] == "application/manifest+json"
    said = response.json()
    assert said["name"]
    assert said["display"] == "standalone"
    assert said["scope"] == reverse("field:shell")
    assert said["start_url"].startswith(said["scope"])
    sizes = set()
    for icon in said["icons"]:
        if icon["type"] == "image/png":
            data = shell.content(icon["src"].removeprefix("/static/"))
            width, height = Image.open(BytesIO(data)).size
            assert icon["sizes"] == f"{width}x{height}"
            sizes.add((width, icon.get("purpose", "any")))
    assert {(192, "any"), (512, "any"), (512, "maskable")} <= sizes


def test_page_has_no_inline_script_or_style(client: Client, db: None) -> None:
    page = client.get(reverse("field:shell"), headers={"Accept-Language": "nl"}).content.decode()
    assert page.count("data-said") == 1
    assert not re.search(r"<script(?![^>]*\bsrc=)(?![^>]*application/json)|<style|\sstyle=|\son[a-z]+=", page)
