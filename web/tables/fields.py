"""What a table may hold: the fields of one kind of import, with the words by which a column of theirs is known."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Field:
    """One field. `words` are header words in English and Dutch; `joined` parts the texts of several columns that
    together make it, and a field without it takes one column. `label` and `help` may be lazy."""

    key: str
    label: Any
    words: tuple[str, ...]
    help: Any = ""
    example: str = ""
    is_needed: bool = False
    is_date: bool = False
    joined: str | None = None


def by_key(fields: Iterable[Field]) -> dict[str, Field]:
    return {field.key: field for field in fields}
