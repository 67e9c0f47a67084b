"""What our scripts say by `say("…")` and `sayMany("…", "…", n)`, and the table of it that a page brings for them."""

import json
import re
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

from django.conf import settings
from django.utils.translation import gettext, ngettext

_TEXT = r'"((?:[^"\\]|\\.)*)"'
SAID = re.compile(rf"(?<![.\w])say\(\s*{_TEXT}|(?<![.\w])sayMany\(\s*{_TEXT}\s*,\s*{_TEXT}")
FIELD_PAGE = "static/js/field/**/*.js"
MAP = "static/src/map/*.js"
OF_A_PAGE = {
    "field": (FIELD_PAGE,),
    "pick": ("static/js/pick.js", "static/js/average.js", MAP),
    "passkey": ("static/js/passkey.js",),
    "map": (MAP,),
}
"""Which scripts a part of a page brings along."""


def said(source: str) -> Iterator[tuple[str, str]]:
    """Each text of a script with its plural, or with nothing."""
    for one, first, many in SAID.findall(source):
        yield json.loads(f'"{one or first}"'), json.loads(f'"{many}"')


@cache
def _of(patterns: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    root = Path(settings.BASE_DIR)
    paths = [path for pattern in patterns for path in sorted(root.glob(pattern))]
    return tuple(dict.fromkeys(key for path in paths for key in said(path.read_text(encoding="utf-8"))))


def table(patterns: Iterable[str]) -> dict[str, str | list[str]]:
    """English text → the same in the language spoken now (or forms for one and for many); what is equal is left out."""
    found: dict[str, str | list[str]] = {}
    for one, many in _of(tuple(patterns)):
        forms = [ngettext(one, many, 1), ngettext(one, many, 2)] if many else [gettext(one)]
        if forms != ([one, many] if many else [one]):
            found[one] = forms if many else forms[0]
    return found
