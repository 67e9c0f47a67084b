"""The README's tour: every picture that the script takes is shown, with words for who cannot see it, and is small."""

import re
from pathlib import Path

import pytest

pytestmark = pytest.mark.once
ROOT = Path(__file__).resolve().parents[2]
SHOWN = {
    name: words
    for words, name in re.findall(
        r"!\[([^\]]+)\]\(docs/tour/([a-z-]+)\.webp\)", (ROOT / "README.md").read_text()
    )
}
TAKEN = set(re.findall(r'Shot\("([a-z-]+)"', (ROOT / "tools" / "tour.py").read_text()))
MOST_BYTES = 60_000


def test_what_is_taken_is_shown_and_nothing_else() -> None:
    assert SHOWN.keys() == TAKEN
    assert {path.stem for path in (ROOT / "docs" / "tour").iterdir()} == TAKEN


def test_every_picture_has_words_and_is_small() -> None:
    assert [name for name, words in SHOWN.items() if len(words) < 20] == []
    sizes = {path.name: path.stat().st_size for path in (ROOT / "docs" / "tour").iterdir()}
    assert {name: size for name, size in sizes.items() if size > MOST_BYTES} == {}
