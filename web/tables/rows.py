"""Rows of a table once its columns have names."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from web.csv_safe import plain_text


@dataclass(frozen=True)
class Row:
    """One row: the line on which it begins in the file, from 1, and its text by column."""

    line: int
    cells: Mapping[str, str]


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong: where, the text as it stands, and what to do."""

    line: int
    column: str
    value: str
    words: str


def tidy(name: str) -> str:
    """A column's name without case, spaces, dashes and brackets, so that “Weight (g)” is “weight g”."""
    return " ".join(re.sub(r"[\s_\-()\[\].:/*]+", " ", plain_text(name).casefold()).split())
