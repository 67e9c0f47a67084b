"""Find words in our scripts that somebody reads and that nobody said with `say` or `sayMany`."""

import re
from collections.abc import Iterator
from pathlib import Path

COMMENT = re.compile(r"//[^\n]*|/\*.*?\*/", re.DOTALL)
PATTERN = re.compile(r"/(?:\\.|\[(?:\\.|[^\]\\\n])*\]|[^/\\\n\[])+/\w*")
BEFORE_PATTERN = "(,=:!&|?{;>"  # a slash after anything else divides
TEXT = re.compile(r""""(?:\\.|[^"\\\n])*"|'(?:\\.|[^'\\\n])*'""")
SAID = re.compile(r"""(?<![.\w])say(?:Many)?\(\s*(?:"(?:\\.|[^"\\])*"\s*,\s*)?$""")
# Where names stand, not words: classes, attributes of drawings, addresses of modules, selectors.
NOT_READ = re.compile(
    r"""(?:\bclass: (?:[\w.?! ]+)?|\bfrom |\bimport\(|\bimport |className = """
    r"""|\b(?:querySelector(?:All)?|matches|closest|matchMedia)\("""
    r"""|setAttribute\("(?:class|viewBox|d)", (?:[^"]*\? ?)?"""
    r"""|\b(?:d|font|points|viewBox|fill|transform|patternTransform): )$"""
)
SENTENCE = re.compile(r"[^\W\d_]{2,}[^\w\"]* +[^\W\d_]|^[A-Z][a-z]+[.:!?…]?$|[^\W\d_]…")
CLASSES = frozenset({"big", "button", "card", "danger", "notice", "quiet", "small", "status"})
NAMES = frozenset(
    {
        "Accept", "Backspace", "Delete", "Enter", "Escape", "Infinity", "LineString", "Multi", "MultiLineString",
        "Point", "Polygon", "called off", "take over", "photo_in situ",
        "in it", "may be in it", "close to it", "clear of it", "on it", "off it", "may be outside", "near the edge",
    }
)  # fmt: skip
"""Keys of the program with a space or a capital: states, messages to the worker, types of GeoJSON, keys."""


def bare_words(source: str) -> Iterator[tuple[int, str]]:
    """Line and words of each text that looks like something to read and is not said."""
    found: list[tuple[int, str]] = []
    _code(source, 0, found)
    for start, text in sorted(found):
        before = source[max(0, start - 400) : start]
        if _is_read(text.strip()) and not NOT_READ.search(before) and not SAID.search(before):
            yield source.count("\n", 0, start) + 1, text.strip()


def _code(source: str, at: int, found: list[tuple[int, str]], *, inside: bool = False) -> int:
    """Note every text from `at` on; inside a template up to the brace that ends its value."""
    depth = 0
    while at < len(source):
        if comment := COMMENT.match(source, at):
            at = comment.end()
        elif text := TEXT.match(source, at):
            found.append((at, text[0][1:-1]))
            at = text.end()
        elif source[at] == "`":
            at = _template(source, at, found)
        elif (pattern := PATTERN.match(source, at)) and source[:at].rstrip()[-1:] in BEFORE_PATTERN:
            at = pattern.end()
        else:
            depth += {"{": 1, "}": -1}.get(source[at], 0)
            at += 1
            if inside and depth < 0:
                return at
    return at


def _template(source: str, start: int, found: list[tuple[int, str]]) -> int:
    """Note a template with a mark for each value, and what its values hold."""
    at, words = start + 1, ""
    while source[at] != "`":
        if source.startswith("${", at):
            at, words = _code(source, at + 2, found, inside=True), words + "%"
        else:
            step = 2 if source[at] == "\\" else 1
            at, words = at + step, words + source[at : at + step]
    found.append((start, words))
    return at + 1


def _is_read(words: str) -> bool:
    return bool(SENTENCE.search(words)) and words not in NAMES and not set(words.split()) <= CLASSES


def bare_in(path: Path) -> Iterator[tuple[int, str]]:
    yield from bare_words(path.read_text(encoding="utf-8"))
