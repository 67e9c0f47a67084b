"""Find words of a template that no reader of another language would get in theirs."""

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

LETTER = re.compile(r"[^\W\d_]")
SAID = re.compile(r"\{%\s*blocktranslate\b.*?%\}.*?\{%\s*endblocktranslate\s*%\}", re.DOTALL)
TAG = re.compile(r"\{%.*?%\}|\{\{.*?\}\}|\{#.*?#\}")
READ_BY_PEOPLE = frozenset(
    {"alt", "aria-description", "aria-label", "data-label", "data-title", "placeholder", "summary", "title"}
)
# What a part is told to say, and what a filter says where there is nothing.
BARE_ARGUMENT = re.compile(
    r"""\b(?:button|caption|head|here|label|text|title|whose|words)=("[^"]*"|'[^']*')"""
    r"""|\|(?:default|default_if_none|yesno):("[^"]*"|'[^']*')"""
)
NAMES = frozenset({"pick-map", "Polygon"})  # of the program, not words


def bare_words(path: Path) -> Iterator[tuple[int, str]]:
    """Line and words of each text, human attribute or argument outside `translate`."""
    text = SAID.sub(_blank, path.read_text(encoding="utf-8"))
    yield from _arguments(text)
    rest = TAG.sub(_blank, text)
    if path.suffix == ".html":
        reader = _Reader()
        reader.feed(rest)
        reader.close()
        yield from reader.found
    else:
        lines = enumerate(rest.splitlines(), 1)
        yield from ((number, line.strip()) for number, line in lines if LETTER.search(line))


def _blank(match: re.Match[str]) -> str:
    return "\n" * match[0].count("\n") or " "


def _arguments(text: str) -> Iterator[tuple[int, str]]:
    for number, line in enumerate(text.splitlines(), 1):
        for tag in TAG.findall(line):
            for match in BARE_ARGUMENT.finditer(tag):
                words = (match[1] or match[2])[1:-1]
                if LETTER.search(words) and words not in NAMES:
                    yield number, words


class _Reader(HTMLParser):
    """Texts and attributes that people read, but for entities, scripts, styles and commands to type."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.found: list[tuple[int, str]] = []
        self.silent = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in {"script", "style", "code", "pre"}:
            self.silent = tag
        for name, value in attrs:
            if name in READ_BY_PEOPLE and value and LETTER.search(value):
                self.found.append((self.getpos()[0], value))

    def handle_endtag(self, tag: str) -> None:
        self.silent = "" if tag == self.silent else self.silent

    def handle_data(self, data: str) -> None:
        if not self.silent and LETTER.search(data):
            self.found.append((self.getpos()[0], " ".join(data.split())))
