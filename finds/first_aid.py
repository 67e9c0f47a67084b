"""What a find needs in the first hours, and what people need to beware of, by material and object. Pure."""

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from tongue import noop
from tongue import say as _

_FILE = Path(__file__).with_name("first_aid.toml")
MARKS = {"published": noop("Published guidance"), "memory": noop("Common practice")}


class FirstAidError(ValueError):
    """A row of the file that cannot be meant; the sentence names it."""


@dataclass(frozen=True, slots=True)
class Care:
    """One row: a line for the bag, what to do, the caution for people (may be empty), how firm and from where."""

    title: str
    line: str
    do: str
    caution: str
    mark: str
    source: str
    keys: tuple[str, ...]
    words: tuple[str, ...]
    first: int | None

    @property
    def label(self) -> str:
        """Where it is from, in words."""
        return (
            f"{_(MARKS[self.mark])}: {_(self.source)}." if self.mark == "published" else _("Common practice.")
        )


@dataclass(frozen=True, slots=True)
class Book:
    """The rule for everything, how to pack, then materials and objects in the order of the file."""

    general: str
    packing: str
    materials: tuple[Care, ...]
    objects: tuple[Care, ...]


@lru_cache(maxsize=1)
def book() -> Book:
    """Everything in the file. Raises FirstAidError for a row of an unknown mark or without a key or word."""
    raw = tomllib.loads(_FILE.read_text(encoding="utf-8"))
    return Book(
        general=raw["general"]["text"],
        packing=raw["packing"]["text"],
        materials=tuple(_care(row) for row in raw["material"]),
        objects=tuple(_care(row) for row in raw["object"]),
    )


def _care(row: dict[str, Any]) -> Care:
    care = Care(
        title=row["title"],
        line=row["line"],
        do=row["do"],
        caution=row.get("caution", ""),
        mark=row["mark"],
        source=row["source"],
        keys=tuple(row.get("keys", ())),
        words=tuple(row.get("words", ())),
        first=row.get("from"),
    )
    if care.mark not in MARKS or not (care.keys or care.words):
        raise FirstAidError(
            _("“%(care_title)s” has the mark %(care_mark)s, or neither material nor words.")
            % {"care_title": care.title, "care_mark": care.mark}
        )
    return care


def care_for(materials: Iterable[str], words: str = "", last_year: int | None = None) -> tuple[Care, ...]:
    """What applies to an object, dangers first: by its materials as written and by the words about it.

    `last_year` is the latest it may have been made; None means not known, and then nothing is left out.
    """
    said = " ".join(words.lower().split())
    of_objects = [care for care in book().objects if _is_meant(care, said, last_year)]
    named = [name.lower() for name in materials]
    of_materials = [care for care in book().materials if any(_says(n, k) for n in named for k in care.keys)]
    return tuple(sorted([*of_objects, *of_materials], key=lambda care: not care.caution))


def bag_line(cares: Iterable[Care]) -> str:
    """The short lines for one bag label."""
    return "; ".join(_(care.line) for care in cares)


def _is_meant(care: Care, said: str, last_year: int | None) -> bool:
    old_enough_to_rule_out = care.first is not None and last_year is not None and last_year < care.first
    return not old_enough_to_rule_out and any(_says(said, word) for word in care.words)


def _says(text: str, word: str) -> bool:
    return re.search(rf"(?<!\w){re.escape(word)}(?!\w)", text) is not None
