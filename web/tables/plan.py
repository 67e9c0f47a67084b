"""What the rows of a table would become: what is new, what is here already, and what is wrong. Nothing is written."""

from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

from web.tables.rows import Problem


@dataclass
class Coming:
    """One good row. `there` is the record it is already, `adds` what that record gains, `differs` what it says else."""

    line: int
    title: str
    says: list[str] = field(default_factory=list)
    values: dict[str, Any] = field(default_factory=dict)
    there: Any = None
    adds: list[str] = field(default_factory=list)
    differs: list[str] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)


@dataclass
class Plan:
    """All rows together. It can be saved when nothing is wrong and something would be made."""

    new: list[Coming] = field(default_factory=list)
    known: list[Coming] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    left_out: int = 0
    notes: list[str] = field(default_factory=list)
    mark: str = ""  # a seal of its own, where the rows were judged by other code

    def add(self, row: Coming) -> None:
        (self.new if row.there is None else self.known).append(row)

    @property
    def gaining(self) -> list[Coming]:
        return [row for row in self.known if row.adds]

    @property
    def may_save(self) -> bool:
        return not self.problems and bool(self.new or self.gaining)

    @property
    def seal(self) -> str:
        """A word that stands for exactly what would be made, so that saving makes what was looked at."""
        parts = [f"{row.line} {row.title} {row.says} {row.adds}" for row in (*self.new, *self.gaining)]
        return self.mark or sha256("\n".join(parts).encode()).hexdigest()[:32]


class Reading:
    """One row being read: it collects what is wrong under the names that the columns have in the file."""

    def __init__(self, line: int, cells: dict[str, str], headers: dict[str, str]) -> None:
        self.line, self.cells, self._headers = line, cells, headers
        self.problems: list[Problem] = []

    def text(self, key: str) -> str:
        """The cell in one line, single spaces between."""
        return " ".join(self.cells.get(key, "").split())

    def wrong(self, key: str, words: str) -> None:
        self.problems.append(
            Problem(self.line, self._headers.get(key, key), self.cells.get(key, "")[:80], words)
        )


class ChangedError(Exception):
    """What would be saved is no longer what was looked at."""
